-- purpose: no stripe for a player who plays and may not carry the ball
-- grain: one row per game, team and player
-- inputs: entitlement, statement
-- rule: the helmet of a player who may play and may not carry, rulings aside,
--   carries the stripe (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: weighmasters, head_official
with final as (
    select
        game,
        team,
        player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        positions as positions,
        'May play and not carry, and no stripe is recorded.' as detail,
    from entitlement
    anti join (select * from statement where kind = 'stripe') as stripe
        using (game, team, player)
    where may_play != 'none' and may_carry = 'no'
)

select * from final
order by game, team, player
