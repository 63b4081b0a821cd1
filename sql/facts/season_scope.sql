-- purpose: the units that a season is summed up for, and their teams
-- grain: one row per level (league, association, team), unit and team in it
-- inputs: team
-- rule: a team is in the league, in its association and in itself; the league's
--   unit is empty, and so is the unit of the teams without an association
-- columns: level, unit, team
with final as (
    select 'league' as level, '' as unit, team
    from team
    union all
    select 'association' as level, coalesce(association, '') as unit, team
    from team
    union all
    select 'team' as level, team as unit, team
    from team
)

select * from final
order by level, unit, team
