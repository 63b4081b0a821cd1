-- purpose: a weigh on the scale before the scale was proved
-- grain: one row per game
-- inputs: weighing, station, scale_out
-- procedure: at or before every weigh of ok or over there is a check that
--   passed, or a notice that the scale is out
-- source: common practice
-- about: game
-- area: scale
-- sentence: Weighing began before the scale had passed its check.
-- events: weigh, late_weigh
-- look: site_official
-- reason: weigh
-- columns: game, positions, detail
with first_word as (
    select game, min(happened_at) as happened_at,
    from (
        select game, happened_at from station where is_passing
        union all
        select game, happened_at from scale_out
    ) as word
    group by game
),

final as (
    select
        weighing.game,
        list(weighing.position order by weighing.position) as positions,
        'Players were weighed before the scale passed a check.' as detail,
    from weighing
    left join first_word using (game)
    where
        weighing.is_scale
        and coalesce(weighing.happened_at < first_word.happened_at, true)
    group by weighing.game
)

select * from final
order by game
