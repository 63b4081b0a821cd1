-- purpose: someone is assigned who is not a weighmaster of the team
-- grain: one row per game, team and official
-- inputs: assignment
-- rule: an official who is assigned holds the role weighmaster for that team
-- columns: game, team, official, detail
select
    game,
    team,
    official,
    'Assigned, but not a weighmaster of this team.' as detail,
from assignment
where not is_own_weighmaster
order by game, team, official
