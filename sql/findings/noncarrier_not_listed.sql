-- purpose: a player who may play but not carry the ball is not listed as over
-- grain: one row per game, team and player
-- inputs: entitlement
-- procedure: a player who may play but not carry, rulings aside, has a standing
--   listing for over
-- source: common practice
-- about: child
-- area: list
-- sentence: A child who may not carry the ball was not listed as over.
-- events: weigh, late_weigh, initial, list, half
-- look: weighmasters
-- reason: weigh
-- right: may_carry
-- todo: list the player as over
-- due: kickoff
-- columns: game, team, player, positions, detail
with final as (
    select
        game,
        team,
        player,
        positions as positions,
        'May play but not carry, and is not on the list as over.' as detail,
    from entitlement
    where
        may_play != 'none'
        and may_carry = 'no'
        and not list_contains(listed, 'over')
)

select * from final
order by game, team, player
