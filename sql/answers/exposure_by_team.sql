-- purpose: over the season, how often and how far a team's players were short
--   of plays, and how often they came late
-- grain: one row per team with a game in which any of its players may play
-- inputs: exposure, weighed
-- rule: adds up the rows of exposure; late means presented after the team's
--   weigh-in closed; plays_short and worst_short count only players who were
--   short
-- columns: team, games, due, met, short, excused, uncounted, plays_short,
--   worst_short, late, late_and_short
with final as (
    select
        exposure.team,
        count(distinct exposure.game) filter (where status != 'not_required')
            as games,
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
    group by exposure.team
)

select
    team,
    games,
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
where games > 0
order by team
