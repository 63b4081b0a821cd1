-- purpose: when a half of a game ended
-- grain: one row per game and half
-- inputs: statement
-- rule: the first such statement counts
-- columns: game, half, ended_at, position
select
    game,
    data.half as half,
    arg_min(happened_at, happened_rank) as ended_at,
    arg_min(position, happened_rank) as position,
from statement
where kind = 'half'
group by game, data.half
order by game, half
