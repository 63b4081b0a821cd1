-- purpose: the season week by week: games, and findings by kind
-- grain: one row per level, unit (season_scope) and week with a game of it; and
--   one with a null week where a finding of it has no game
-- inputs: season_scope, game, season_day, game_weighed, season_finding
-- rule: a finding is of the week of its game; one about a player is counted
--   apart from one about a step of the game, a side or an official
-- columns: level, unit, week, game_date, games, games_off, games_weighed,
--   step_findings, player_findings
with played as (
    select game, unnest([home, visitor]) as team from game
),

unit_game as (
    select distinct season_scope.level, season_scope.unit, played.game,
    from season_scope
    inner join played on season_scope.team = played.team
),

day as (
    select
        unit_game.level,
        unit_game.unit,
        season_day.week,
        any_value(season_day.game_date) as game_date,
        count(*) filter (where not season_day.is_off) as games,
        count(*) filter (where season_day.is_off) as games_off,
        count(game_weighed.game) as games_weighed,
    from unit_game
    inner join season_day on unit_game.game = season_day.game
    left join game_weighed on unit_game.game = game_weighed.game
    group by unit_game.level, unit_game.unit, season_day.week
),

unit_finding as (
    select distinct
        season_scope.level,
        season_scope.unit,
        season_finding.finding_id,
        season_finding.game,
        season_finding.is_about_player,
    from season_finding
    inner join season_scope
        on season_finding.team = season_scope.team
        or season_scope.level = 'league'
),

found as (
    select
        unit_finding.level,
        unit_finding.unit,
        season_day.week,
        count(*) filter (where not is_about_player) as step_findings,
        count(*) filter (where is_about_player) as player_findings,
    from unit_finding
    left join season_day on unit_finding.game = season_day.game
    group by unit_finding.level, unit_finding.unit, season_day.week
),

final as (
    select
        coalesce(day.level, found.level) as level,
        coalesce(day.unit, found.unit) as unit,
        coalesce(day.week, found.week) as week,
        day.game_date::varchar as game_date,
        coalesce(day.games, 0) as games,
        coalesce(day.games_off, 0) as games_off,
        coalesce(day.games_weighed, 0) as games_weighed,
        coalesce(found.step_findings, 0) as step_findings,
        coalesce(found.player_findings, 0) as player_findings,
    from day
    full join found
        on day.level = found.level
        and day.unit = found.unit
        and day.week is not distinct from found.week
)

select * from final
order by level, unit, week nulls last
