-- purpose: the days with games, counted as weeks
-- grain: one row per game
-- inputs: game, local_date
-- rule: week 1 is the season's first local date with a game; a day whose games
--   are off counts too
-- columns: game, week, game_date, is_off
select
    game.game,
    dense_rank() over (order by local_date.local_date) as week,
    local_date.local_date as game_date,
    game.is_off,
from game
inner join local_date on game.game = local_date.game
order by game.game
