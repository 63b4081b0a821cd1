-- purpose: the scale was set to more than one limit in a game
-- grain: one row per game
-- inputs: station
-- rule: the scale is set once and left alone (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: site_official
with final as (
    select
        game,
        null::varchar as team,
        null::varchar as player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        list(position order by position) as positions,
        format(
            'The scale was set to {} limits.', count(distinct limit_clb)
        ) as detail,
    from station
    group by game
    having count(distinct limit_clb) > 1
)

select * from final
order by game
