-- purpose: the presentation (P) and the weigh that counts (W) of every player who was weighed
-- grain: one row per game, team and player with a weigh or late_weigh
-- inputs: weighing, league
-- rule: P is the first weigh of any value; W is the first ok among the first
--   `attempts` scale weighs, otherwise the first of them; without a scale
--   weigh, W is P
-- columns: game, team, player, first_position, first_kind, first_at, first_rank, counts_position,
--   counts_kind, counts_value
with numbered as (
    select
        *,
        row_number() over (
            partition by game, team, player, is_scale order by happened_rank
        ) as attempt,
    from weighing
),

ranked as (
    select
        game,
        team,
        player,
        min(happened_rank) as first_rank,
        min(happened_rank) filter (
            where is_scale and value = 'ok' and attempt <= league.attempts
        ) as ok_rank,
        min(happened_rank) filter (where is_scale) as scale_rank,
    from numbered
    cross join league
    group by game, team, player
),

final as (
    select
        ranked.game,
        ranked.team,
        ranked.player,
        presented.position as first_position,
        presented.kind as first_kind,
        presented.happened_at as first_at,
        ranked.first_rank,
        counting.position as counts_position,
        counting.kind as counts_kind,
        counting.value as counts_value,
    from ranked
    inner join weighing as presented
        on ranked.first_rank = presented.happened_rank
    inner join weighing as counting
        on coalesce(ranked.ok_rank, ranked.scale_rank, ranked.first_rank)
        = counting.happened_rank
)

select * from final
order by game, team, player
