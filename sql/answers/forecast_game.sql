-- purpose: how far along each game is, and how many snaps earlier halves had
-- grain: one row per game that is played
-- inputs: game, statement, half_end
-- rule: counts are cumulative, and the latest entered counts; past_1 and past_2
--   are the snaps of finished halves in the division's games with an earlier
--   kickoff (half 1 has also ended if half 2 has snaps)
-- columns: game, snaps_1, snaps_2, snaps_3, ended, past_1, past_2
with snap_count as (
    select
        game,
        data.half as half,
        arg_max(data.count, entered_rank) as snaps,
    from statement
    where kind = 'snaps'
    group by game, data.half
),

by_game as (
    select
        game,
        max(snaps) filter (where half = 1) as snaps_1,
        max(snaps) filter (where half = 2) as snaps_2,
        max(snaps) filter (where half = 3) as snaps_3,
    from snap_count
    group by game
),

ended as (
    select game, list(half order by half) as halves
    from half_end
    group by game
),

played as (
    select
        game.game,
        game.division,
        game.kickoff_at,
        by_game.snaps_1,
        by_game.snaps_2,
        by_game.snaps_3,
        coalesce(ended.halves, []) as ended,
    from game
    left join by_game on game.game = by_game.game
    left join ended on game.game = ended.game
    where not game.is_off
),

past as (
    select
        played.game,
        list(before.snaps_1 order by before.kickoff_at, before.game) filter (
            where
            before.snaps_1 is not null
            and (list_contains(before.ended, 1) or before.snaps_2 > 0)
        ) as past_1,
        list(before.snaps_2 order by before.kickoff_at, before.game) filter (
            where
            before.snaps_2 is not null
            and list_contains(before.ended, 2)
        ) as past_2,
    from played
    inner join played as before
        on played.division = before.division
        and before.kickoff_at < played.kickoff_at
    group by played.game
),

final as (
    select
        played.game,
        played.snaps_1,
        played.snaps_2,
        played.snaps_3,
        played.ended,
        coalesce(past.past_1, []) as past_1,
        coalesce(past.past_2, []) as past_2,
    from played
    left join past on played.game = past.game
)

select game, snaps_1, snaps_2, snaps_3, ended, past_1, past_2
from final
where coalesce(game = getvariable('game'), true)
order by game
