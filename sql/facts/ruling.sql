-- purpose: the rulings with authority that say who may play or carry
-- grain: one row per ruling that names a game, team and player
-- inputs: statement, authority
-- rule: the ruling names game, team and player with may_play or may_carry; its
--   value does not matter
-- columns: game, team, player, position, entered_rank, happened_at, may_play, may_carry
select
    statement.game,
    statement.team,
    statement.player,
    statement.position,
    statement.entered_rank,
    statement.happened_at,
    statement.data.may_play as may_play,
    statement.data.may_carry as may_carry,
from statement
inner join authority on statement.position = authority.position
where
    authority.has_authority
    and coalesce(statement.data.may_play, statement.data.may_carry) is not null
order by statement.position
