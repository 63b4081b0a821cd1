-- purpose: someone is assigned whose training is not valid at kickoff
-- grain: one row per game, team and official
-- inputs: assignment
-- rule: an official who is assigned has valid training at kickoff, if the league
--   asks for training
-- columns: game, team, official, detail
select
    game,
    team,
    official,
    'Assigned, without training that is valid at kickoff.' as detail,
from assignment
where not is_trained
order by game, team, official
