-- purpose: which statements belong to which case
-- grain: one row per case and statement
-- inputs: statements
-- rule: statements that name the case, their withdrawals, and withdrawals of
--   those
-- columns: case_id, event_id
with recursive part as (
    select case_id, event_id,
    from statements
    where case_id is not null
    union
    select part.case_id, statements.event_id,
    from part
    inner join statements on part.event_id = statements.target_id
)

select case_id, event_id
from part
order by case_id, event_id
