-- purpose: a stripe for a player who weighed ok
-- grain: one row per game, team and player
-- inputs: weighed, statement
-- procedure: a player who weighed ok wears no stripe: it would take the ball
--   from a child who may carry it
-- source: common practice
-- about: child
-- area: stripes
-- sentence: A child who weighed ok got a stripe.
-- events: weigh, late_weigh, stripe
-- look: weighmasters, head_official
-- reason: weigh
-- right: may_carry
-- columns: game, team, player, positions, detail
with final as (
    select
        weighed.game,
        weighed.team,
        weighed.player,
        [any_value(weighed.counts_position)] || list(statement.position)
            as positions,
        'Weighed ok, but a stripe is recorded.' as detail,
    from weighed
    inner join statement using (game, team, player)
    where weighed.counts_value = 'ok' and statement.kind = 'stripe'
    group by weighed.game, weighed.team, weighed.player
)

select * from final
order by game, team, player
