-- purpose: nobody counted a team's plays
-- grain: one row per game and team
-- inputs: team_weighed, play_count
-- procedure: if anyone on a team was weighed, its plays are counted
-- source: common practice
-- about: team
-- area: plays
-- sentence: Nobody counted a team's plays.
-- events: weigh, late_weigh
-- look: head_official, division_president
-- reason: plays
-- due: end
-- columns: game, team, positions, detail
with final as (
    select
        team_weighed.game,
        team_weighed.team,
        [team_weighed.first_position] as positions,
        'No plays are recorded for the team.' as detail,
    from team_weighed
    anti join play_count
        on team_weighed.game = play_count.game
        and team_weighed.team = play_count.team
)

select * from final
order by game, team
