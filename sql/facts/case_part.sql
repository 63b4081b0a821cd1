-- purpose: which statements belong to which case
-- grain: one row per case and statement
-- inputs: told
-- rule: what names the case, and withdrawals of such, and withdrawals of those
-- columns: case_id, event_id
with recursive part as (
    select case_id, event_id,
    from told
    where case_id is not null
    union
    select part.case_id, told.event_id,
    from part
    inner join told on part.event_id = told.target_id
)

select case_id, event_id
from part
order by case_id, event_id
