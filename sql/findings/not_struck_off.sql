-- purpose: a player listed as absent or without equipment came and was not
--   struck off the list
-- grain: one row per game, team and player
-- inputs: weighed, listing
-- procedure: a player listed for absent or equipment is struck off once weighed
-- source: common practice
-- about: child
-- area: list
-- sentence: A child came, and their line on the list was not struck off.
-- events: weigh, late_weigh, list
-- look: weighmasters
-- reason: weigh
-- right: may_play
-- todo: strike the player off the list
-- due: kickoff
-- columns: game, team, player, positions, detail
with final as (
    select
        weighed.game,
        weighed.team,
        weighed.player,
        [any_value(weighed.first_position)] || list(listing.position)
            as positions,
        'Weighed, but the list still says absent or equipment.' as detail,
    from weighed
    inner join listing using (game, team, player)
    where
        listing.is_standing
        and listing.reason in ('absent', 'equipment')
    group by weighed.game, weighed.team, weighed.player
)

select * from final
order by game, team, player
