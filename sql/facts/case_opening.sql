-- purpose: the cases and who reviews them
-- grain: one row per case
-- inputs: statement, league
-- rule: the league's reviewers for the reason of its case_open: those for
--   roster, else those for other; opened in two chains, the first counts
-- columns: case_id, game, reason, position, entered_at, reviewers
with first_opening as (
    select data."case" as case_id, min(happened_rank) as happened_rank,
    from statement
    where kind = 'case_open'
    group by data."case"
),

final as (
    select
        first_opening.case_id,
        statement.game,
        statement.data.reason as reason,
        statement.position,
        statement.entered_at,
        case
            when statement.data.reason = 'roster' then league.roster_reviewers
            else league.other_reviewers
        end as reviewers,
    from first_opening
    inner join statement
        on first_opening.happened_rank = statement.happened_rank
    cross join league
)

select * from final
order by case_id
