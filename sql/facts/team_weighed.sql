-- purpose: the teams of which anyone was weighed
-- grain: one row per game and team with a weigh or late_weigh
-- inputs: weighing
-- rule: weighed is a weigh or late_weigh with any value
-- columns: game, team, first_position
select
    game,
    team,
    arg_min(position, happened_rank) as first_position,
from weighing
group by game, team
order by game, team
