-- purpose: the signatures that are due to ineligible lists
-- grain: one row per weighed game, team (whose list it is) and side that signs
-- inputs: side, game_weighed
-- rule: where somebody was weighed, for either team, an own weighmaster of each
--   side signs each team's list, empty ones too (common practice, no source)
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
