-- purpose: a player who plays and may not carry the ball is not listed as over
-- grain: one row per game, team and player
-- inputs: entitlement
-- rule: who may play and may not carry, rulings aside, has a list over that
--   stands (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: weighmasters
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
        'May play and not carry, and is not on the list as over.' as detail,
    from entitlement
    where
        may_play != 'none'
        and may_carry = 'no'
        and not list_contains(listed, 'over')
)

select * from final
order by game, team, player
