-- purpose: a player listed as over was weighed ok
-- grain: one row per game, team and player
-- inputs: weighed, listing
-- rule: who was weighed ok has no list over that stands (common practice, no
--   source)
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
        [any_value(weighed.counts_position)] || list(listing.position)
            as positions,
        'Weighed ok, and the list still says over.' as detail,
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
