-- purpose: a player presented without a usable scale, and no notice that the
--   scale was out
-- grain: one row per game
-- inputs: weighing, scale_out
-- procedure: at or before every weigh of no_scale there is a notice that the
--   scale is out
-- source: common practice
-- about: game
-- area: scale
-- sentence: The scale could not be used, and nobody entered that it was out.
-- events: weigh, late_weigh
-- look: site_official
-- reason: weigh
-- columns: game, positions, detail
with first_out as (
    select game, min(happened_at) as happened_at,
    from scale_out
    group by game
),

final as (
    select
        weighing.game,
        list(weighing.position order by weighing.position) as positions,
        'Players came to the scale before anyone entered that it was out.'
            as detail,
    from weighing
    left join first_out using (game)
    where
        weighing.value = 'no_scale'
        and coalesce(weighing.happened_at < first_out.happened_at, true)
    group by weighing.game
)

select * from final
order by game
