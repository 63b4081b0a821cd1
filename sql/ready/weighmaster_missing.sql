-- purpose: nobody is assigned to the scale for a team
-- grain: one row per game and team
-- inputs: side, assignment
-- rule: each team has someone assigned; the checks assigned_… say who of them may
--   not weigh
-- columns: game, team, detail
with final as (
    select
        side.game,
        side.team,
        'No weighmaster is assigned.' as detail,
    from side
    left join assignment using (game, team)
    where assignment.official is null
)

select * from final
order by game, team
