-- purpose: which games were weighed, and in which the scale was proved
-- grain: one row per game, games that are off too
-- inputs: game, local_date, game_weighed, station, scale_out
-- rule: weighed means a weigh for either team; proved means that a check of the
--   scale passed, after a failure that a check before it did not; checks and
--   outs count statements
-- columns: game, played_on, home, visitor, is_off, is_weighed, is_proved,
--   is_proved_after_failure, checks, checks_passed, outs
with checked as (
    select
        game,
        count(*) as checks,
        count(*) filter (where is_passing) as checks_passed,
        min(happened_rank) filter (where is_passing) as first_passed,
        min(happened_rank) filter (where not is_passing) as first_failed,
    from station
    group by game
),

noticed as (
    select game, count(*) as outs,
    from scale_out
    group by game
),

final as (
    select
        game.game,
        local_date.local_date::varchar as played_on,
        game.home,
        game.visitor,
        game.is_off,
        game_weighed.game is not null as is_weighed,
        coalesce(checked.checks_passed > 0, false) as is_proved,
        coalesce(checked.first_failed < checked.first_passed, false)
            as is_proved_after_failure,
        coalesce(checked.checks, 0) as checks,
        coalesce(checked.checks_passed, 0) as checks_passed,
        coalesce(noticed.outs, 0) as outs,
    from game
    inner join local_date on game.game = local_date.game
    left join game_weighed on game.game = game_weighed.game
    left join checked on game.game = checked.game
    left join noticed on game.game = noticed.game
)

select * from final
order by played_on, game
