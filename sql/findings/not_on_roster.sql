-- purpose: somebody took part who is not on the team's roster
-- grain: one row per game, team and player
-- inputs: subject, statement
-- rule: who is weighed, listed or has a plays line is on that team's roster at
--   kickoff (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: association_president, division_president
with final as (
    select
        subject.game,
        subject.team,
        subject.player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        list(statement.position order by statement.position) as positions,
        'Not on the team''s roster at kickoff.' as detail,
    from subject
    inner join statement using (game, team, player)
    where
        not subject.is_on_roster
        and statement.kind in ('weigh', 'late_weigh', 'list', 'plays')
    group by subject.game, subject.team, subject.player
)

select * from final
order by game, team, player
