-- purpose: notices that the scale is out of use, in games that are played
-- grain: one row per scale_out
-- inputs: statement, game
-- rule: the scale is out of use from `at` on
-- columns: game, position, happened_at, happened_rank
select
    statement.game,
    statement.position,
    statement.happened_at,
    statement.happened_rank,
from statement
inner join game on statement.game = game.game
where statement.kind = 'scale_out' and not game.is_off
order by statement.position
