-- purpose: which side signed which team's ineligible list
-- grain: one row per countersign and side whose own weighmaster signed
-- inputs: statement, side, side_role
-- rule: a countersign by one of a side's own weighmasters is that side's
--   signature
-- columns: game, team, side, position, entered_at
select
    statement.game,
    statement.team,
    signing.team as side,
    statement.position,
    statement.entered_at,
from statement
inner join side as listed
    on statement.game = listed.game and statement.team = listed.team
inner join side_role as signing
    on statement.game = signing.game
    and statement.stated_by = signing.official
    and signing.role = 'weighmaster'
where statement.kind = 'countersign'
order by statement.position, side
