-- purpose: a player had fewer plays than are due
-- grain: one row per game, team and player
-- inputs: exposure, play_count
-- rule: every player who may play, and is not excused, has the minimum of plays
--   (common practice, no source); the minimum is the league's choice
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: head_official, division_president
with final as (
    select
        exposure.game,
        exposure.team,
        exposure.player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        list_filter(
            list(play_count.position),
            lambda position: position is not null
        ) as positions,
        format(
            '{} plays counted of {} that are due.',
            any_value(exposure.recorded), any_value(exposure.required)
        ) as detail,
    from exposure
    left join play_count using (game, team, player)
    where exposure.status = 'short'
    group by exposure.game, exposure.team, exposure.player
)

select * from final
order by game, team, player
