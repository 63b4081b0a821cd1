-- purpose: nobody counted the plays of a team
-- grain: one row per game and team
-- inputs: team_weighed, play_count
-- rule: where somebody of a team was weighed, its plays are counted (common
--   practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: head_official, division_president
with final as (
    select
        team_weighed.game,
        team_weighed.team,
        null::varchar as player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        [team_weighed.first_position] as positions,
        'No plays are recorded for the team.' as detail,
    from team_weighed
    anti join play_count
        on team_weighed.game = play_count.game
        and team_weighed.team = play_count.team
)

select * from final
order by game, team
