-- purpose: the statements that count (not withdrawn), with two orders
-- grain: one row per statement
-- inputs: event, withdrawn
-- rule: first, latest and since go by happened_rank (at, ledger order); latest entered goes by
--   entered_rank (entered, ledger order)
-- columns: position, event_id, chain, seq, kind, happened_at, entered_at, recorded_at, stated_by, game, team,
--   player, target_id, data, happened_rank, entered_rank
with ranked as (
    -- Narrow, then joined: ranking whole rows takes three times as long.
    select
        position,
        row_number() over (order by happened_at, position) as happened_rank,
        row_number() over (order by entered_at, position) as entered_rank,
    from event
    anti join withdrawn on event.position = withdrawn.position
    where happened_at is not null
),

final as (
    select
        event.*,
        ranked.happened_rank,
        ranked.entered_rank,
    from event
    inner join ranked on event.position = ranked.position
)

select * from final
order by position
