-- purpose: a player listed as injured was weighed
-- grain: one row per game, team and player
-- inputs: weighed, listing
-- rule: a player whose listing injured stands is not weighed (common practice,
--   no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: weighmasters, head_official
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
        'Weighed, and the list says injured.' as detail,
    from weighed
    inner join listing using (game, team, player)
    where
        listing.is_standing
        and listing.reason = 'injured'
    group by weighed.game, weighed.team, weighed.player
)

select * from final
order by game, team, player
