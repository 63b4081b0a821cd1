-- purpose: a player took part without being on the team's roster
-- grain: one row per game, team and player
-- inputs: subject, statement
-- procedure: a player who is weighed, listed or has a plays line is on that
--   team's roster at kickoff
-- source: common practice
-- about: child
-- area: rosters
-- sentence: A child took part without being on the roster.
-- events: weigh, late_weigh, list, plays
-- look: association_president, division_president
-- reason: roster
-- columns: game, team, player, positions, detail
with final as (
    select
        subject.game,
        subject.team,
        subject.player,
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
