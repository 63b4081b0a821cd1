-- purpose: a player on the roster at kickoff has no number
-- grain: one row per game, team and player
-- inputs: roster
-- rule: every player on the roster has a number by kickoff
-- columns: game, team, player, detail
select
    game,
    team,
    player,
    'On the roster without a number.' as detail,
from roster
where number is null
order by game, team, player
