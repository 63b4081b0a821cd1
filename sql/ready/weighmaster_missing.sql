-- purpose: no trained weighmaster of the team is assigned
-- grain: one row per game and team
-- inputs: side, assignment
-- rule: each team has one of its own weighmasters assigned who coaches neither
--   team and whose training, if the league asks for any, is valid at kickoff
-- columns: game, team, detail
with final as (
    select
        side.game,
        side.team,
        case
            when count(assignment.official) = 0
                then 'No weighmaster is assigned.'
            else 'Nobody who is assigned is ready to weigh for this team.'
        end as detail,
    from side
    left join assignment using (game, team)
    group by side.game, side.team
    having not coalesce(bool_or(assignment.is_ready), false)
)

select * from final
order by game, team
