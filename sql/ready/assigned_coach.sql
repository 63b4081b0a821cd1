-- purpose: someone is assigned who coaches one of the two teams
-- grain: one row per game, team and official
-- inputs: assignment
-- rule: an official who is assigned coaches neither team of the game
-- columns: game, team, official, detail
select
    game,
    team,
    official,
    'Assigned, and coaches one of the two teams.' as detail,
from assignment
where is_coach
order by game, team, official
