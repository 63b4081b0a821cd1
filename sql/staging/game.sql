-- purpose: games as games.csv, game_change and game_off give them
-- grain: one row per game
-- inputs: event, statement
-- rule: the latest entered change counts, for each field separately
-- columns: game, division, kickoff_at, site, home, visitor, is_off
with changes as (
    select
        game,
        arg_max(data.kickoff, entered_rank)
        filter (where data.kickoff is not null) as kickoff_at,
        arg_max(data.site, entered_rank)
        filter (where data.site is not null) as site,
        bool_or(kind = 'game_off') as is_off,
    from statement
    where kind in ('game_change', 'game_off')
    group by game
),

final as (
    select
        event.game,
        event.data.division as division,
        coalesce(changes.kickoff_at, event.data.kickoff) as kickoff_at,
        coalesce(changes.site, event.data.site) as site,
        event.data.home as home,
        event.data.visitor as visitor,
        coalesce(changes.is_off, false) as is_off,
    from event
    left join changes on event.game = changes.game
    where event.kind = 'game'
)

select * from final
order by game
