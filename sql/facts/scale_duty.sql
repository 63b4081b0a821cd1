-- purpose: who stood at the scale for which team, in games that are played
-- grain: one row per at_scale
-- inputs: statement, side, side_role
-- rule: an own weighmaster of a team holds the role weighmaster for that team
-- columns: game, team, official, position, is_own_weighmaster
select
    statement.game,
    statement.team,
    statement.stated_by as official,
    statement.position,
    side_role.official is not null as is_own_weighmaster,
from statement
inner join side
    on statement.game = side.game and statement.team = side.team
left join side_role
    on statement.game = side_role.game
    and statement.team = side_role.team
    and statement.stated_by = side_role.official
    and side_role.role = 'weighmaster'
where statement.kind = 'at_scale'
order by statement.position
