-- purpose: what could stop a weigh-in that is still to come, as far as the
--   ledger knows
-- grain: one row per rule, game, and team, player or official it is about
-- inputs: unready, game, roster
-- rule: each file of ready/ is one check; the findings number_twice and
--   on_two_rosters are checks too
-- columns: rule, game, team, player, number, official, was_at,
--   was_site, detail
select
    unready.rule,
    unready.game,
    unready.team,
    unready.player,
    roster.number,
    unready.official,
    unready.was_at,
    unready.was_site,
    unready.detail,
from unready
inner join game on unready.game = game.game
left join roster
    on unready.game = roster.game
    and unready.team = roster.team
    and unready.player = roster.player
where coalesce(unready.game = getvariable('game'), true)
order by
    game.kickoff_at, unready.game, unready.team nulls first, unready.rule,
    roster.number nulls last, unready.player nulls last,
    unready.official nulls last
