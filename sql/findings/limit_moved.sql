-- purpose: the scale was set to more than one limit in a game
-- grain: one row per game
-- inputs: station
-- procedure: the scale is set once and left alone
-- source: common practice
-- about: scale
-- area: scale
-- sentence: The scale was set to more than one limit in a game.
-- events: station
-- look: site_official
-- reason: weigh
-- columns: game, positions, detail
with final as (
    select
        game,
        list(position order by position) as positions,
        format(
            '{} limits were set in one game.', count(distinct limit_clb)
        ) as detail,
    from station
    group by game
    having count(distinct limit_clb) > 1
)

select * from final
order by game
