-- purpose: a weigh-in with no weighmaster of this team at the scale
-- grain: one row per game and team
-- inputs: side, game_weighed, scale_duty
-- procedure: if anyone was weighed, for either team, each team has one of its
--   own weighmasters at the scale
-- source: common practice
-- about: team
-- area: people
-- sentence: A team had none of its own weighmasters at the scale.
-- events: weigh, late_weigh
-- look: site_official
-- reason: weigh
-- due: kickoff
-- columns: game, team, positions, detail
with final as (
    select
        side.game,
        side.team,
        [game_weighed.first_position] as positions,
        'No weighmaster of the team is recorded at the scale.' as detail,
    from side
    inner join game_weighed on side.game = game_weighed.game
    anti join (
        select game, team from scale_duty where is_own_weighmaster
    ) as own
        on side.game = own.game and side.team = own.team
)

select * from final
order by game, team
