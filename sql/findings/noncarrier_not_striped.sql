-- purpose: no stripe for a player who plays and may not carry the ball
-- grain: one row per game, team and player
-- inputs: entitlement, statement
-- procedure: the helmet of a player who may play and may not carry, rulings
--   aside, carries the stripe
-- source: common practice, no source
-- about: child
-- events: weigh, late_weigh, initial, list, half
-- look: weighmasters, head_official
-- reason: weigh
-- todo: stripe the helmet
-- columns: game, team, player, positions, detail
with final as (
    select
        game,
        team,
        player,
        positions as positions,
        'May play and not carry, and no stripe is recorded.' as detail,
    from entitlement
    anti join (select * from statement where kind = 'stripe') as stripe
        using (game, team, player)
    where may_play != 'none' and may_carry = 'no'
)

select * from final
order by game, team, player
