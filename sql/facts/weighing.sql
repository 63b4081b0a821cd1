-- purpose: the weighs and late weighs of games that are played
-- grain: one row per weigh or late_weigh
-- inputs: statement, game
-- rule: a scale weigh is a weigh or late_weigh with value ok or over
-- columns: game, team, player, position, event_id, kind, value, is_scale, happened_at,
--   happened_rank, stated_by, division, kickoff_at
select
    statement.game,
    statement.team,
    statement.player,
    statement.position,
    statement.event_id,
    statement.kind,
    statement.data.value as value,
    statement.data.value in ('ok', 'over') as is_scale,
    statement.happened_at,
    statement.happened_rank,
    statement.stated_by,
    game.division,
    game.kickoff_at,
from statement
inner join game on statement.game = game.game
where statement.kind in ('weigh', 'late_weigh') and not game.is_off
order by statement.position
