-- purpose: the games in which anyone was weighed, for either team
-- grain: one row per game with a weigh or late_weigh
-- inputs: weighing
-- rule: weighed is a weigh or late_weigh with any value
-- columns: game, first_position
select
    game,
    arg_min(position, happened_rank) as first_position,
from weighing
group by game
order by game
