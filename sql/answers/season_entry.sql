-- purpose: how many statements were entered, and how many of them late
-- grain: one row per team (null: the statement names none)
-- inputs: statement, finding
-- rule: a late statement has a finding of the rule entered_late
-- columns: team, entries, late
with tardy as (
    select distinct unnest(positions) as position,
    from finding
    where rule = 'entered_late'
)

select
    statement.team,
    count(*) as entries,
    count(tardy.position) as late,
from statement
left join tardy on statement.position = tardy.position
group by statement.team
order by statement.team nulls last
