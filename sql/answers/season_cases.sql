-- purpose: over the season, how many questions were put to review, where they
--   stand, and how long an answer took
-- grain: one row per level, unit (season_scope), reason and outcome; null reason
--   and outcome: all of the unit
-- inputs: season_scope, side, cases
-- rule: a case is of the team it names, else of both sides of its game, else of
--   the league alone; the outcome is the ruling, else no_ruling where it was
--   closed without one, else open or withdrawn; hours run from the opening to
--   the first ruling or close as they were entered, rounded down; the middle is
--   the lower one of two
-- columns: level, unit, reason, outcome, cases, answered, answered_late,
--   overdue_open, middle_hours, longest_hours
with of_team as (
    select cases.case_id, coalesce(cases.team, side.team) as team,
    from cases
    left join side on cases.game = side.game and cases.team is null
),

unit_case as (
    select distinct season_scope.level, season_scope.unit, of_team.case_id,
    from of_team
    inner join season_scope
        on of_team.team = season_scope.team
        or season_scope.level = 'league'
),

answered as (
    select
        case_id,
        reason,
        case
            when state = 'withdrawn' then 'withdrawn'
            when ruling is not null then ruling
            when state = 'closed' then 'no_ruling'
            else 'open'
        end as outcome,
        is_overdue,
        answered_at is not null and state != 'withdrawn' as is_answered,
        case
            when is_answered
                then date_diff('second', opened_at, answered_at) // 3600
        end as hours,
    from cases
),

final as (
    select
        unit_case.level,
        unit_case.unit,
        answered.reason,
        answered.outcome,
        count(*) as cases,
        count(*) filter (where is_answered) as answered,
        count(*) filter (where is_answered and is_overdue) as answered_late,
        count(*) filter (where is_overdue and not is_answered)
            as overdue_open,
        quantile_disc(hours, 0.5) as middle_hours,
        max(hours) as longest_hours,
    from unit_case
    inner join answered on unit_case.case_id = answered.case_id
    group by
        grouping sets (
            (unit_case.level, unit_case.unit),
            (
                unit_case.level, unit_case.unit,
                answered.reason, answered.outcome
            )
        )
)

select * from final
order by level, unit, reason nulls first, outcome nulls first
