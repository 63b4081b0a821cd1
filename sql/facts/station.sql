-- purpose: the checks of the scale in the games that are played, and what they
--   should have shown
-- grain: one row per station
-- inputs: statement, game, division, league, local_date
-- rule: a check passes within the maintenance tolerance for class III at the
--   load of the check weight (source: NIST Handbook 44 (2023) 2.20, Table 6 and
--   T.N.3.2, quoted); the limit is the division's plus the allowance in force,
--   the latest whose date the game's local date has reached
-- columns: game, position, happened_at, happened_rank, reading_clb, limit_clb,
--   check_weight_clb, tolerance_clb, is_passing, due_limit_clb
with tolerance as (
    select
        check_weight_clb,
        scale_division_clb * case
            when check_weight_clb <= 500 * scale_division_clb then 1
            when check_weight_clb <= 2000 * scale_division_clb then 2
            when check_weight_clb <= 4000 * scale_division_clb then 3
            else 5
        end as tolerance_clb,
    from league
),

step as (
    select unnest(limit_allowance) as step
    from league
),

allowance as (
    select
        local_date.game,
        arg_max(step.step.clb, step.step."from") as allowance_clb,
    from local_date
    inner join step on step.step."from" <= local_date.local_date
    group by local_date.game
),

final as (
    select
        statement.game,
        statement.position,
        statement.happened_at,
        statement.happened_rank,
        statement.data.reading_clb as reading_clb,
        statement.data.limit_clb as limit_clb,
        tolerance.check_weight_clb,
        tolerance.tolerance_clb,
        abs(statement.data.reading_clb - tolerance.check_weight_clb)
            <= tolerance.tolerance_clb as is_passing,
        division.carrier_limit_clb + coalesce(allowance.allowance_clb, 0)
            as due_limit_clb,
    from statement
    cross join tolerance
    inner join game on statement.game = game.game
    inner join division on game.division = division.division
    left join allowance on statement.game = allowance.game
    where statement.kind = 'station' and not game.is_off
)

select * from final
order by position
