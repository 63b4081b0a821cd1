-- purpose: a stripe for a player who was weighed ok
-- grain: one row per game, team and player
-- inputs: weighed, statement
-- rule: who was weighed ok wears no stripe: it would take the ball from a child
--   who may carry it (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: weighmasters, head_official
with final as (
    select
        weighed.game,
        weighed.team,
        weighed.player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        [any_value(weighed.counts_position)] || list(statement.position)
            as positions,
        'Weighed ok, and a stripe is recorded.' as detail,
    from weighed
    inner join statement using (game, team, player)
    where weighed.counts_value = 'ok' and statement.kind = 'stripe'
    group by weighed.game, weighed.team, weighed.player
)

select * from final
order by game, team, player
