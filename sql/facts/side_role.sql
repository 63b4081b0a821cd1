-- purpose: weighmasters and coaches of the two teams, in games that are played
-- grain: one row per game, team, official and role
-- inputs: side, role
-- rule: a role for one game is held in that game only
-- columns: game, team, official, role
select distinct
    side.game,
    side.team,
    role.official,
    role.role,
from side
inner join role
    on side.team = role.team and coalesce(role.game = side.game, true)
where role.role in ('weighmaster', 'coach')
order by side.game, side.team, role.official, role.role
