-- purpose: nobody is on the team's roster at kickoff
-- grain: one row per game and team
-- inputs: side, roster
-- rule: there is a roster to weigh by
-- columns: game, team, detail
select
    side.game,
    side.team,
    'Nobody is on the roster.' as detail,
from side
anti join roster using (game, team)
order by side.game, side.team
