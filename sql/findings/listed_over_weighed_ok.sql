-- purpose: a player listed as over was weighed ok
-- grain: one row per game, team and player
-- inputs: weighed, listing
-- procedure: a player who weighed ok has no standing listing for over
-- source: common practice
-- about: child
-- area: list
-- sentence: A child was listed as over and weighed ok.
-- events: weigh, late_weigh, list
-- look: weighmasters
-- reason: weigh
-- right: may_carry
-- todo: strike the player off the list
-- due: kickoff
-- columns: game, team, player, positions, detail
with final as (
    select
        weighed.game,
        weighed.team,
        weighed.player,
        [any_value(weighed.counts_position)] || list(listing.position)
            as positions,
        'Weighed ok, but the list still says over.' as detail,
    from weighed
    inner join listing using (game, team, player)
    where
        listing.is_standing
        and listing.reason = 'over'
        and weighed.counts_value = 'ok'
    group by weighed.game, weighed.team, weighed.player
)

select * from final
order by game, team, player
