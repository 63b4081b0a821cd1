-- purpose: the questions put to review: how they ended, and how long they took
-- grain: one row per reason, team (null: none), state and ruling (null: none)
-- inputs: cases
-- rule: minutes are whole minutes from the question to the first ruling or
--   close entered, shortest first; a case has none if it is not answered, or if
--   its answer bears an earlier time
-- columns: reason, team, state, ruling, cases, overdue, minutes
with timed as (
    select
        *,
        greatest(date_sub('minute', opened_at, answered_at), 0) as minutes,
    from cases
),

final as (
    select
        reason,
        team,
        state,
        ruling,
        count(*) as cases,
        count(*) filter (where is_overdue) as overdue,
        coalesce(
            list(minutes order by minutes)
            filter (where answered_at is not null),
            []
        ) as minutes,
    from timed
    group by reason, team, state, ruling
)

select * from final
order by reason, team nulls last, state, ruling nulls last
