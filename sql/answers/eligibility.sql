-- purpose: who may play and who may carry the ball, and what that rests on
-- grain: one row per game, team and player
-- inputs: entitlement, ruling, event, game
-- rule: (4) the latest entered ruling with authority decides what it names; (5)
--   a player who may not play may not carry
-- columns: game, team, player, number, may_play, may_carry, basis, listed, events
with ruled as (
    select
        game,
        team,
        player,
        arg_max(may_play, entered_rank)
        filter (where may_play is not null) as may_play,
        arg_max(may_carry, entered_rank)
        filter (where may_carry is not null) as may_carry,
        list_filter(
            [
                arg_max(position, entered_rank)
                filter (where may_play is not null),
                arg_max(position, entered_rank)
                filter (where may_carry is not null),
            ],
            lambda position: position is not null
        ) as positions,
    from ruling
    group by game, team, player
),

decided as (
    select
        entitlement.*,
        coalesce(ruled.may_play, entitlement.may_play) as plays,
        coalesce(ruled.may_carry, entitlement.may_carry) as carries,
        ruled.positions is not null as is_ruled,
        entitlement.positions || coalesce(ruled.positions, []) as rests_on,
    from entitlement
    left join ruled using (game, team, player)
),

shown as (
    select
        resting.game,
        resting.team,
        resting.player,
        list(event.event_id order by event.position) as event_ids,
    from (
        select distinct game, team, player, unnest(rests_on) as position
        from decided
    ) as resting
    inner join event on resting.position = event.position
    group by resting.game, resting.team, resting.player
),

final as (
    select
        decided.game,
        decided.team,
        decided.player,
        decided.number,
        decided.plays as may_play,
        case when decided.plays = 'none' then 'no' else decided.carries end
            as may_carry,
        case when decided.is_ruled then 'ruling' else decided.basis end
            as basis,
        decided.listed,
        coalesce(shown.event_ids, []) as events,
        game.kickoff_at,
    from decided
    left join shown using (game, team, player)
    inner join game on decided.game = game.game
)

select game, team, player, number, may_play, may_carry, basis, listed, events
from final
where coalesce(game = getvariable('game'), true)
order by kickoff_at, game, team, number nulls last, player
