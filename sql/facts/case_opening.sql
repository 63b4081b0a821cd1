-- purpose: the openings of cases, and who reviews them
-- grain: one row per case_open
-- inputs: statement, league
-- rule: the league's reviewers for the reason of the case_open: those for
--   roster, otherwise those for other; each chain that mentions a case opens it
--   once, and its first opening decides whether it is late or overdue
-- columns: case_id, chain, game, reason, position, entered_at, reviewers,
--   is_first
select
    statement.data."case" as case_id,
    split_part(statement.event_id, ':', 1) as chain,
    statement.game,
    statement.data.reason as reason,
    statement.position,
    statement.entered_at,
    case
        when statement.data.reason = 'roster' then league.roster_reviewers
        else league.other_reviewers
    end as reviewers,
    statement.happened_rank = min(statement.happened_rank)
        over (partition by statement.data."case") as is_first,
from statement
cross join league
where statement.kind = 'case_open'
order by statement.position
