-- purpose: how many findings of each rule a team had on each game day
-- grain: one row per rule, team (null: the finding names none) and local date
--   (null: no game)
-- inputs: finding, local_date
-- rule: a finding belongs to the day of its game; a missing signature belongs to
--   the side that owes it, on its own list or the other side's
-- columns: rule, team, played_on, findings
with final as (
    select
        finding.rule,
        coalesce(finding.side, finding.team) as team,
        local_date.local_date::varchar as played_on,
        count(*) as findings,
    from finding
    left join local_date on finding.game = local_date.game
    group by
        finding.rule,
        coalesce(finding.side, finding.team),
        local_date.local_date
)

select * from final
order by rule, team nulls last, played_on nulls last
