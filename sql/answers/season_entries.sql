-- purpose: over the season, how many statements were written down in time
-- grain: one row per level and unit (season_scope)
-- inputs: season_scope, statement, game, league
-- rule: late is what the finding entered_late is raised for; a statement that
--   names no team counts for the league alone
-- columns: level, unit, statements, entered_late
with counted as (
    select
        statement.team,
        statement.entered_at > statement.happened_at
            + to_minutes(league.entered_late_after_min) as is_late,
    from statement
    cross join league
    anti join (select game from game where is_off) as off_game
        on statement.game = off_game.game
),

unit as (
    select distinct level, unit from season_scope
),

of_unit as (
    select season_scope.level, season_scope.unit, counted.is_late,
    from counted
    inner join season_scope on counted.team = season_scope.team
    where season_scope.level != 'league'
    union all
    select 'league' as level, '' as unit, is_late
    from counted
),

final as (
    select
        unit.level,
        unit.unit,
        count(of_unit.is_late) as statements,
        count(*) filter (where of_unit.is_late) as entered_late,
    from unit
    left join of_unit
        on unit.level = of_unit.level and unit.unit = of_unit.unit
    group by unit.level, unit.unit
)

select * from final
order by level, unit
