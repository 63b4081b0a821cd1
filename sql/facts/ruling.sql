-- purpose: the rulings that say who may play or carry, by somebody with authority
-- grain: one row per such ruling
-- inputs: statement, authority
-- rule: such a ruling names game, team and player with may_play or may_carry, whatever its value
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
