-- purpose: over the season, how often and how far a player was short of plays,
--   and how often the player came late
-- grain: one row per team and player who might play for it or came late
-- inputs: exposure, weighed, game
-- rule: adds up the rows of exposure; late means presented after the team's
--   weigh-in closed; plays_short and worst_short count only games in which the
--   player was short; the number is that of the last game
-- columns: team, player, number, due, met, short, excused, uncounted,
--   plays_short, worst_short, late, late_and_short
with final as (
    select
        exposure.team,
        exposure.player,
        arg_max(number, { kickoff: game.kickoff_at, game: game.game })
            as number,
        count(*) filter (where status != 'not_required') as due,
        count(*) filter (where status = 'met') as met,
        count(*) filter (where status = 'short') as short,
        count(*) filter (where status = 'excused') as excused,
        count(*) filter (where status = 'uncounted') as uncounted,
        coalesce(
            sum(exposure.short) filter (where status = 'short'), 0
        )::integer as plays_short,
        coalesce(
            max(exposure.short) filter (where status = 'short'), 0
        ) as worst_short,
        count(*) filter (where weighed.first_kind = 'late_weigh') as late,
        count(*) filter (
            where weighed.first_kind = 'late_weigh' and status = 'short'
        ) as late_and_short,
    from exposure
    left join weighed using (game, team, player)
    inner join game on exposure.game = game.game
    group by exposure.team, exposure.player
)

select
    team,
    player,
    number,
    due,
    met,
    short,
    excused,
    uncounted,
    plays_short,
    worst_short,
    late,
    late_and_short,
from final
where due + late > 0
order by team, number nulls last, player
