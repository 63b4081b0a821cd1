-- purpose: over the season, how many children came, came late, and were short of
--   the plays due; each child counts once a game
-- grain: one row per level and unit (season_scope)
-- inputs: season_scope, weighed, exposure
-- rule: late is a presentation after the team's weigh-in closed; short is as the
--   exposure answer has it; these are counts of children, and a paper for many
--   readers keeps small ones back; how many were due plays is left out, since
--   taking it from weighed would give away who was weighed and might not play
-- columns: level, unit, weighed, late, short
with child as (
    select
        team,
        count(*) as weighed,
        count(*) filter (where first_kind = 'late_weigh') as late,
        0 as short,
    from weighed
    group by team
    union all
    select
        team,
        0 as weighed,
        0 as late,
        count(*) filter (where status = 'short') as short,
    from exposure
    group by team
),

final as (
    select
        season_scope.level,
        season_scope.unit,
        coalesce(sum(child.weighed), 0)::bigint as weighed,
        coalesce(sum(child.late), 0)::bigint as late,
        coalesce(sum(child.short), 0)::bigint as short,
    from season_scope
    left join child on season_scope.team = child.team
    group by season_scope.level, season_scope.unit
)

select * from final
order by level, unit
