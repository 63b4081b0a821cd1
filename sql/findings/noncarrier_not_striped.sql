-- purpose: no stripe for a player who may play but not carry the ball
-- grain: one row per game, team and player
-- inputs: entitlement, statement
-- procedure: a player who may play but not carry, rulings aside, wears the
--   stripe on the helmet
-- source: common practice
-- about: child
-- area: stripes
-- sentence: A child who may not carry the ball got no stripe.
-- events: weigh, late_weigh, initial, list, half
-- look: weighmasters, head_official
-- reason: weigh
-- right: may_carry
-- todo: stripe the helmet
-- due: kickoff
-- columns: game, team, player, positions, detail
with final as (
    select
        game,
        team,
        player,
        positions as positions,
        'May play but not carry, and no stripe is recorded.' as detail,
    from entitlement
    anti join (select * from statement where kind = 'stripe') as stripe
        using (game, team, player)
    where may_play != 'none' and may_carry = 'no'
)

select * from final
order by game, team, player
