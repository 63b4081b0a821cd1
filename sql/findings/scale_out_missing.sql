-- purpose: somebody was presented without a usable scale, and nobody had said
--   that the scale is out
-- grain: one row per game
-- inputs: weighing, scale_out
-- rule: at or before every weigh with value no_scale there is a notice that the
--   scale is out (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: site_official
with first_out as (
    select game, min(happened_at) as happened_at,
    from scale_out
    group by game
),

final as (
    select
        weighing.game,
        null::varchar as team,
        null::varchar as player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        list(weighing.position order by weighing.position) as positions,
        'Weighs without a scale came before a notice that it was out.'
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
