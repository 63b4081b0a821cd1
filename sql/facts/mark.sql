-- purpose: the initials in the book, with the division and kickoff of their game
-- grain: one row per initial; initials made in a game that is off stay in the book
-- inputs: statement, game
-- rule: a player has one book for each division, for any team
-- columns: division, player, game, team, kickoff_at, position, event_id, value, initials,
--   stated_by, happened_at, happened_rank, is_off
select
    game.division,
    statement.player,
    statement.game,
    statement.team,
    game.kickoff_at,
    statement.position,
    statement.event_id,
    statement.data.value as value,
    statement.data.initials as initials,
    statement.stated_by,
    statement.happened_at,
    statement.happened_rank,
    game.is_off,
from statement
inner join game on statement.game = game.game
where statement.kind = 'initial'
order by statement.position
