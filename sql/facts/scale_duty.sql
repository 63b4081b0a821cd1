-- purpose: who stood at the scale for which team, in the games that are played
-- grain: one row per at_scale
-- inputs: statement, side, role
-- rule: an own weighmaster of a team holds the role weighmaster for that team
-- columns: game, team, official, position, is_own_weighmaster
select
    statement.game,
    statement.team,
    statement.stated_by as official,
    statement.position,
    role.official is not null as is_own_weighmaster,
from statement
inner join side
    on statement.game = side.game and statement.team = side.team
left join role
    on statement.stated_by = role.official
    and statement.team = role.team
    and role.role = 'weighmaster'
where statement.kind = 'at_scale'
order by statement.position
