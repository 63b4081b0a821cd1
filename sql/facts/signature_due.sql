-- purpose: the signatures due to ineligible lists
-- grain: one row per weighed game, team (whose list it is) and side that signs
-- inputs: side, game_weighed
-- rule: if anyone was weighed, for either team, one of each side's own
--   weighmasters signs each team's list, empty lists too (common practice, no
--   source)
-- columns: game, team, side, first_position
select
    listed.game,
    listed.team,
    signing.team as side,
    game_weighed.first_position,
from side as listed
inner join side as signing on listed.game = signing.game
inner join game_weighed on listed.game = game_weighed.game
order by listed.game, listed.team, side
