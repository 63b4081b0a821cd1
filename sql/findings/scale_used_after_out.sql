-- purpose: a weigh on a scale that was out of use and not proved again
-- grain: one row per game, team and player
-- inputs: weighing, station, scale_out
-- procedure: after a notice that the scale is out, a check passes before the
--   next weigh of ok or over
-- source: common practice
-- about: child
-- area: scale
-- sentence: A child was weighed on a scale that was out of use.
-- events: weigh, late_weigh, scale_out
-- look: site_official
-- reason: weigh
-- right: may_carry
-- columns: game, team, player, positions, detail
with word as (
    select game, happened_at, happened_rank, position, true as is_out,
    from scale_out
    union all
    select game, happened_at, happened_rank, position, false as is_out,
    from station
    where is_passing
),

before_weigh as (
    select
        weighing.position,
        max(word.happened_at) filter (where word.is_out) as out_at,
        arg_max(word.position, word.happened_rank)
        filter (where word.is_out) as out_position,
        max(word.happened_at) filter (where not word.is_out) as proved_at,
    from weighing
    inner join word
        on weighing.game = word.game
        and word.happened_at <= weighing.happened_at
    where weighing.is_scale
    group by weighing.position
),

final as (
    select
        weighing.game,
        weighing.team,
        weighing.player,
        list(distinct before_weigh.out_position)
        || list(weighing.position) as positions,
        'Weighed on a scale that was out and not checked again.' as detail,
    from before_weigh
    inner join weighing on before_weigh.position = weighing.position
    where
        before_weigh.out_at is not null
        and coalesce(before_weigh.proved_at <= before_weigh.out_at, true)
    group by weighing.game, weighing.team, weighing.player
)

select * from final
order by game, team, player
