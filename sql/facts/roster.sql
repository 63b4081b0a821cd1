-- purpose: who is on a team's roster at the kickoff of its game, and with which
--   number
-- grain: one row per game, team and player on the roster
-- inputs: side, roster_move
-- rule: the latest add or drop at or before kickoff is an add; the number is
--   the latest given for that team by then
-- columns: game, team, player, number
with until_kickoff as (
    select
        side.game,
        roster_move.team,
        roster_move.player,
        arg_max(joins, move_rank) filter (where joins is not null) as is_on,
        arg_max(number, move_rank) filter (where number is not null) as number,
    from side
    inner join roster_move on side.team = roster_move.team
    where roster_move.moved_at <= side.kickoff_at
    group by side.game, roster_move.team, roster_move.player
)

select game, team, player, number
from until_kickoff
where is_on
order by game, team, player
