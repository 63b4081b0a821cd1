-- purpose: the plays that count for a player in each half
-- grain: one row per game, team, player and half with a plays line
-- inputs: statement, side
-- rule: counts are cumulative, and the latest entered counts, no matter who
--   counted
-- columns: game, team, player, half, plays, position
select
    statement.game,
    statement.team,
    statement.player,
    statement.data.half as half,
    arg_max(statement.data.count, statement.entered_rank) as plays,
    arg_max(statement.position, statement.entered_rank) as position,
from statement
inner join side
    on statement.game = side.game and statement.team = side.team
where statement.kind = 'plays'
group by
    statement.game, statement.team, statement.player, statement.data.half
order by
    statement.game, statement.team, statement.player, statement.data.half
