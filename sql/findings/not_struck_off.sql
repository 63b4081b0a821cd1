-- purpose: a player listed as absent or without equipment came, and was not
--   struck off the list
-- grain: one row per game, team and player
-- inputs: weighed, listing
-- rule: a listing absent or equipment of a player who was weighed is struck off
--   (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: weighmasters
with final as (
    select
        weighed.game,
        weighed.team,
        weighed.player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        [any_value(weighed.first_position)] || list(listing.position)
            as positions,
        'Weighed, and the list still says absent or equipment.' as detail,
    from weighed
    inner join listing using (game, team, player)
    where
        listing.is_standing
        and listing.reason in ('absent', 'equipment')
    group by weighed.game, weighed.team, weighed.player
)

select * from final
order by game, team, player
