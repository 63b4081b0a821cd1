-- purpose: the statements that count: not withdrawn, with the two orders of the contract
-- grain: one row per statement
-- inputs: event, withdrawn
-- rule: first, latest and since go by happened_rank (at, ledger order); latest entered goes by
--   entered_rank (entered, ledger order)
-- columns: position, event_id, kind, happened_at, entered_at, recorded_at, stated_by, game, team,
--   player, target_id, data, happened_rank, entered_rank
with final as (
    select
        event.*,
        row_number() over (order by happened_at, position) as happened_rank,
        row_number() over (order by entered_at, position) as entered_rank,
    from event
    anti join withdrawn on event.position = withdrawn.position
    where happened_at is not null
)

select * from final
order by position
