-- purpose: the questions put to review: their state and their deadlines
-- grain: one row per case; a case whose openings were all withdrawn stays, as
--   withdrawn
-- inputs: statements, statement, case_opening, authority, league, half_end, subject
-- rule: a ruling with authority rules the case (the latest entered counts) and
--   a close closes it; while open, it is with the role it was last passed to,
--   otherwise with the first reviewer; it is due the league's number of days
--   after its opening, and a protest the league's number of hours after the end
--   of its game; is_overdue follows the finding case_overdue
-- columns: case_id, reason, question, game, team, player, number, opened_at,
--   opened_by, state, with_role, reviewers, due_at, answered_at, is_overdue,
--   ruling, protest_due_at, is_protest_late
with opening as (
    select
        case_id,
        arg_min(
            position,
            {
                withdrawn: withdrawn_by is not null,
                happened: happened_at,
                position: position
            }
        ) as position,
    from statements
    where kind = 'case_open'
    group by case_id
),

latest as (
    select max(entered_at) as entered_at,
    from statement
),

said as (
    select
        statement.data."case" as case_id,
        arg_max(statement.data."to", statement.happened_rank)
        filter (where statement.kind = 'case_refer') as referred_to,
        arg_max(statement.data.value, statement.entered_rank)
        filter (where authority.has_authority) as ruling,
        bool_or(statement.kind = 'case_close') as is_closed,
        min(statement.entered_at)
        filter (where statement.kind in ('ruling', 'case_close'))
            as answered_at,
    from statement
    left join authority on statement.position = authority.position
    where statement.data."case" is not null
    group by statement.data."case"
),

final as (
    select
        statements.case_id,
        statements.reason,
        case statements.reason
            when 'protest' then 'a protest'
            when 'weigh' then 'a weigh-in question'
            when 'plays' then 'a question of plays'
            when 'other' then 'a question'
            else 'a ' || statements.reason || ' question'
        end as question,
        statements.game,
        statements.team,
        statements.player,
        coalesce(subject.number, statements.number) as number,
        statements.happened_at as opened_at,
        statements.stated_by as opened_by,
        case
            when case_opening.case_id is null then 'withdrawn'
            when said.is_closed then 'closed'
            when said.ruling is not null then 'ruled'
            else 'open'
        end as state,
        case
            when state = 'open'
                then coalesce(said.referred_to, case_opening.reviewers[1])
        end as with_role,
        coalesce(case_opening.reviewers, []) as reviewers,
        case_opening.entered_at + to_hours(24 * league.decide_within_days)
            as due_at,
        said.answered_at,
        coalesce(
            latest.entered_at > due_at
            and coalesce(said.answered_at > due_at, true),
            false
        ) as is_overdue,
        said.ruling,
        half_end.ended_at + to_hours(league.protest_within_hours)
            as protest_due_at,
        case_opening.entered_at > protest_due_at as is_protest_late,
    from opening
    inner join statements on opening.position = statements.position
    cross join league
    cross join latest
    left join case_opening on opening.position = case_opening.position
    left join said on opening.case_id = said.case_id
    left join subject
        on statements.game = subject.game
        and statements.team = subject.team
        and statements.player = subject.player
    left join half_end
        on statements.reason = 'protest'
        and statements.game = half_end.game
        and half_end.half = 2
)

select * from final
order by opened_at, case_id
