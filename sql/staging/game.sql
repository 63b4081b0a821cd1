-- purpose: games as games.csv, game_change and game_off give them
-- grain: one row per game
-- inputs: table_row, statement
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
        table_row.game,
        table_row.data.division as division,
        coalesce(changes.kickoff_at, table_row.data.kickoff) as kickoff_at,
        coalesce(changes.site, table_row.data.site) as site,
        table_row.data.home as home,
        table_row.data.visitor as visitor,
        coalesce(changes.is_off, false) as is_off,
    from table_row
    left join changes on table_row.game = changes.game
    where table_row.kind = 'game'
)

select * from final
order by game
