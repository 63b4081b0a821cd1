-- purpose: a case that was not decided in time
-- grain: one row per game (may be null) and case
-- inputs: case_opening, statement, game, league
-- procedure: a ruling or a close is entered within the league's number of days
--   after the opening; the case is overdue once something later is entered
-- source: common practice
-- about: case
-- area: reviews
-- sentence: A question was not decided in time.
-- events: case_open
-- look: division_president, association_president
-- reason: other
-- columns: game, case_id, positions, detail
with decided as (
    select data."case" as case_id, min(entered_at) as decided_at,
    from statement
    where kind in ('ruling', 'case_close')
    group by data."case"
),

latest as (
    select max(entered_at) as entered_at from statement
),

due as (
    select
        case_opening.*,
        case_opening.entered_at + to_hours(24 * decide_within_days)
            as due_at,
        decide_within_days,
    from case_opening
    cross join league
    anti join (select game from game where is_off) as off_game
        on case_opening.game = off_game.game
    where case_opening.is_first
),

final as (
    select
        due.game,
        due.case_id,
        list(due.position order by due.position) as positions,
        format(
            'Not decided within {} days.',
            any_value(due.decide_within_days)
        ) as detail,
    from due
    cross join latest
    left join decided on due.case_id = decided.case_id
    where
        latest.entered_at > due.due_at
        and coalesce(decided.decided_at > due.due_at, true)
    group by due.game, due.case_id
)

select * from final
order by game nulls last, case_id
