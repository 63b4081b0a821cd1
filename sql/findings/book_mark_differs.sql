-- purpose: an initial that disagrees with the weigh
-- grain: one row per initial of a player
-- inputs: mark, weighed
-- procedure: the book shows the result of that game's scale weigh that counts
-- source: common practice
-- about: child
-- area: book
-- sentence: A mark in the book differs from the weigh.
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
            'The book says {}, but the weigh says {}.',
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
