-- purpose: checks of the scale in games that are played, and what they should
--   have shown
-- grain: one row per station
-- inputs: statement, game, check_weight, limit_due
-- rule: a check passes within the tolerance of `check_weight`; the limit should
--   be that of `limit_due`
-- columns: game, position, happened_at, happened_rank, reading_clb, limit_clb,
--   check_weight_clb, tolerance_clb, is_passing, due_limit_clb
select
    statement.game,
    statement.position,
    statement.happened_at,
    statement.happened_rank,
    statement.data.reading_clb as reading_clb,
    statement.data.limit_clb as limit_clb,
    check_weight.check_weight_clb,
    check_weight.tolerance_clb,
    abs(statement.data.reading_clb - check_weight.check_weight_clb)
    <= check_weight.tolerance_clb as is_passing,
    limit_due.limit_clb as due_limit_clb,
from statement
cross join check_weight
inner join game on statement.game = game.game
inner join limit_due on statement.game = limit_due.game
where statement.kind = 'station' and not game.is_off
order by statement.position
