-- purpose: an initial that says something else than the weigh
-- grain: one row per initial of a player
-- inputs: mark, weighed
-- rule: the book shows what the counting weigh on the scale gave in that game
--   (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: weighmasters, division_president
with final as (
    select
        mark.game,
        mark.team,
        mark.player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
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
