-- purpose: the players with plays due, and their plays by half
-- grain: one row per game, team and player who may play and is not excused
-- inputs: exposure, play_count, entitlement, weighed, ruling, statement, game
-- rule: plays are the latest entered counts, null if the team has no plays
--   line; missed counts, for a player of the whole game, the snaps entered
--   before the player could play: before the late weigh, or before the ruling
--   that allowed it
-- columns: game, team, player, number, may_play, required, plays_1, plays_2,
--   plays_3, missed
with let_in as (
    select game, team, player, min(happened_at) as happened_at,
    from ruling
    where may_play = 'full'
    group by game, team, player
),

coming as (
    select
        exposure.*,
        case
            when exposure.may_play != 'full' then null
            when entitlement.may_play != 'full' then let_in.happened_at
            when weighed.first_kind = 'late_weigh' then weighed.first_at
        end as came_at,
    from exposure
    inner join entitlement using (game, team, player)
    left join weighed using (game, team, player)
    left join let_in using (game, team, player)
    where exposure.status not in ('not_required', 'excused')
),

run_before as (
    select
        coming.game,
        coming.team,
        coming.player,
        statement.data.half as half,
        arg_max(statement.data.count, statement.happened_rank) as snaps,
    from coming
    inner join statement
        on coming.game = statement.game
        and statement.kind = 'snaps'
        and statement.happened_at <= coming.came_at
    group by
        coming.game, coming.team, coming.player, statement.data.half
),

missed as (
    select game, team, player, sum(snaps)::integer as snaps,
    from run_before
    group by game, team, player
),

tally as (
    select
        game,
        team,
        player,
        max(plays) filter (where half = 1) as plays_1,
        max(plays) filter (where half = 2) as plays_2,
        max(plays) filter (where half = 3) as plays_3,
    from play_count
    group by game, team, player
),

final as (
    select
        coming.*,
        case when recorded is not null then coalesce(plays_1, 0) end as first,
        case when recorded is not null then coalesce(plays_2, 0) end as second,
        case when recorded is not null then coalesce(plays_3, 0) end as third,
        coalesce(missed.snaps, 0) as missed,
        game.kickoff_at,
    from coming
    left join tally using (game, team, player)
    left join missed using (game, team, player)
    inner join game on coming.game = game.game
)

select
    game,
    team,
    player,
    number,
    may_play,
    required,
    first as plays_1,
    second as plays_2,
    third as plays_3,
    missed,
from final
where coalesce(game = getvariable('game'), true)
order by kickoff_at, game, team, number nulls last, player
