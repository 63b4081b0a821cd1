-- purpose: the rows of league.toml and the tables, each as it counts
-- grain: one row per row of a table
-- inputs: event
-- rule: the latest correction of a row in ledger order counts, otherwise the
--   row as it was loaded; a slow clock puts no correction before its row
-- columns: position, kind, game, team, player, data
select
    position,
    kind,
    game,
    team,
    player,
    data,
from event
where kind in ('league', 'division', 'team', 'player', 'official', 'game')
qualify
    row_number() over (
        partition by coalesce(data.corrects, event_id)
        order by data.corrects is not null desc, position desc
    ) = 1
order by position
