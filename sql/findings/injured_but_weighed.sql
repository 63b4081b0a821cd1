-- purpose: a player listed as injured was weighed
-- grain: one row per game, team and player
-- inputs: weighed, listing
-- procedure: a player is not weighed while listed as injured
-- source: common practice
-- about: child
-- area: list
-- sentence: A child was listed as injured and weighed.
-- events: weigh, late_weigh, list
-- look: weighmasters, head_official
-- reason: safety
-- right: may_play
-- columns: game, team, player, positions, detail
with final as (
    select
        weighed.game,
        weighed.team,
        weighed.player,
        [any_value(weighed.first_position)] || list(listing.position)
            as positions,
        'Weighed, but the list says injured.' as detail,
    from weighed
    inner join listing using (game, team, player)
    where
        listing.is_standing
        and listing.reason = 'injured'
    group by weighed.game, weighed.team, weighed.player
)

select * from final
order by game, team, player
