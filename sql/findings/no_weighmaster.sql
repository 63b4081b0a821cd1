-- purpose: a weigh-in without a weighmaster of this team at the scale
-- grain: one row per game and team
-- inputs: side, game_weighed, scale_duty
-- rule: where somebody was weighed, for either team, each team has an own
--   weighmaster at the scale (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: site_official
with final as (
    select
        side.game,
        side.team,
        null::varchar as player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
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
