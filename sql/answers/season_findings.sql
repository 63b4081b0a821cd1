-- purpose: over the season, how often each rule was raised
-- grain: one row per level, unit (season_scope), rule, and whether it is shared
-- inputs: season_scope, season_finding
-- rule: shared findings are of a whole game and go with both of its sides, so
--   they do not add up; in the league nothing is shared
-- columns: level, unit, rule, is_shared, is_about_player, findings
with unit_finding as (
    select distinct
        season_scope.level,
        season_scope.unit,
        season_finding.finding_id,
        season_finding.rule,
        season_finding.is_shared and season_scope.level != 'league'
            as is_shared,
        season_finding.is_about_player,
    from season_finding
    inner join season_scope
        on season_finding.team = season_scope.team
        or season_scope.level = 'league'
),

final as (
    select
        level,
        unit,
        rule,
        is_shared,
        is_about_player,
        count(*) as findings,
    from unit_finding
    group by level, unit, rule, is_shared, is_about_player
)

select * from final
order by level, unit, rule, is_shared, is_about_player
