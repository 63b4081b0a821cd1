-- purpose: a player weighed by the player's own side
-- grain: one row per weigh or late_weigh of a player
-- inputs: own_side
-- procedure: the opponents weigh the players and mark the book; a weighmaster
--   of the player's team does so only if also one of the opponents'
-- source: common practice
-- about: child
-- area: people
-- sentence: A child was weighed by their own team.
-- events: weigh, late_weigh
-- look: site_official
-- reason: weigh
-- columns: game, team, player, happened_at, positions, detail
with final as (
    select
        game,
        team,
        player,
        happened_at,
        [position] as positions,
        'Weighed by a weighmaster of the player''s own team.' as detail,
    from own_side
    where kind != 'initial'
)

select * from final
order by game, team, player, positions
