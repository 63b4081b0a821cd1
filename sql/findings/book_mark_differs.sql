-- purpose: an initial that says something else than the weigh
-- grain: one row per initial of a player
-- inputs: mark, weighed
-- procedure: the book shows what the counting weigh on the scale gave in that
--   game
-- source: common practice, no source
-- about: child
-- events: initial
-- look: weighmasters, division_president
-- reason: weigh
-- columns: game, team, player, happened_at, positions, detail
with final as (
    select
        mark.game,
        mark.team,
        mark.player,
        mark.happened_at,
        [mark.position] as positions,
        format(
            'The book says {} where the weigh says {}.',
            mark.value, weighed.counts_value
        ) as detail,
    from mark
    inner join weighed using (game, team, player)
    where
        weighed.counts_value in ('ok', 'over')
        and mark.value != weighed.counts_value
)

select * from final
order by game, team, player, positions
