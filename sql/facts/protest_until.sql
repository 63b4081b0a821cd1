-- purpose: when a protest about a game is due
-- grain: one row per game whose half 2 has ended
-- inputs: half_end, league
-- rule: the league's number of hours after the end of half 2
-- columns: game, due_at
select
    half_end.game,
    half_end.ended_at + to_hours(league.protest_within_hours) as due_at,
from half_end
cross join league
where half_end.half = 2
order by half_end.game
