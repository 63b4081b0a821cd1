-- purpose: the game was moved to another time or site
-- grain: one row per game that is played
-- inputs: game, table_row
-- rule: kickoff or site differ from the schedule
-- columns: game, was_at, was_site, detail
with scheduled as (
    select
        game.game,
        table_row.data.kickoff as was_at,
        table_row.data.site as was_site,
        game.kickoff_at != table_row.data.kickoff as is_at_other_time,
        coalesce(game.site, '') != coalesce(table_row.data.site, '')
            as is_elsewhere,
    from game
    inner join table_row on game.game = table_row.game
    where table_row.kind = 'game' and not game.is_off
),

final as (
    select
        game,
        was_at,
        was_site,
        case
            when not is_elsewhere then 'The kickoff has changed.'
            when is_at_other_time then 'Kickoff and site have changed.'
            else 'The site has changed.'
        end as detail,
    from scheduled
    where is_at_other_time or is_elsewhere
)

select * from final
order by game
