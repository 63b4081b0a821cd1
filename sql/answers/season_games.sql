-- purpose: over the season, how many games were weighed, proved, attended and
--   counted
-- grain: one row per level and unit (season_scope)
-- inputs: season_scope, game, game_weighed, weighing, station, scale_out,
--   scale_duty, play_count, finding
-- rule: of the games that are not off: weighed where somebody was; on the scale
--   where somebody was weighed ok or over, and proved where the finding
--   scale_not_proved is not raised; a side is a team in a weighed game, attended
--   by an own weighmaster at the scale, counted where a plays line is its own
-- columns: level, unit, teams, games, games_off, games_weighed, games_on_scale,
--   games_proved, games_scale_out, checks, checks_passed, sides,
--   sides_attended, sides_due_count, sides_counted
with side_of as (
    select game, home as team, is_off from game
    union all
    select game, visitor as team, is_off from game
),

check_count as (
    select
        game,
        count(*) as checks,
        count(*) filter (where is_passing) as passed,
    from station
    group by game
),

team_weighed as (
    select distinct game, team from weighing
),

marked as (
    select
        side_of.game,
        side_of.team,
        side_of.is_off,
        side_of.game in (select game from game_weighed) as is_weighed,
        side_of.game in (select game from weighing where is_scale)
            as is_on_scale,
        side_of.game in (select game from scale_out) as is_out,
        side_of.game not in (
            select game from finding where rule = 'scale_not_proved'
        ) as is_proved,
        team_weighed.team is not null as is_due_count,
        coalesce(check_count.checks, 0) as checks,
        coalesce(check_count.passed, 0) as passed,
        (side_of.game, side_of.team) in (
            select (game, team) from scale_duty where is_own_weighmaster
        ) as is_attended,
        (side_of.game, side_of.team) in (select (game, team) from play_count)
            as is_counted,
    from side_of
    left join check_count on side_of.game = check_count.game
    left join team_weighed
        on side_of.game = team_weighed.game
        and side_of.team = team_weighed.team
),

of_unit as (
    select
        season_scope.level,
        season_scope.unit,
        marked.*,
        row_number() over (
            partition by season_scope.level, season_scope.unit, marked.game
            order by marked.team
        ) = 1 as is_first,
    from season_scope
    left join marked on season_scope.team = marked.team
),

member as (
    select level, unit, count(*) as teams
    from season_scope
    group by level, unit
),

final as (
    select
        level,
        unit,
        any_value(member.teams) as teams,
        count(game) filter (where is_first and not is_off) as games,
        count(game) filter (where is_first and is_off) as games_off,
        count(game) filter (where is_first and is_weighed) as games_weighed,
        count(game) filter (where is_first and is_on_scale) as games_on_scale,
        count(game) filter (where is_first and is_on_scale and is_proved)
            as games_proved,
        count(game) filter (where is_first and is_out) as games_scale_out,
        coalesce(sum(checks) filter (where is_first), 0)::bigint as checks,
        coalesce(sum(passed) filter (where is_first), 0)::bigint
            as checks_passed,
        count(game) filter (where is_weighed) as sides,
        count(game) filter (where is_weighed and is_attended)
            as sides_attended,
        count(game) filter (where is_due_count) as sides_due_count,
        count(game) filter (where is_due_count and is_counted)
            as sides_counted,
    from of_unit
    inner join member using (level, unit)
    group by level, unit
)

select * from final
order by level, unit
