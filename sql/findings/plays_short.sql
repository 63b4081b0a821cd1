-- purpose: a player had fewer plays than are due
-- grain: one row per game, team and player
-- inputs: exposure, play_count
-- procedure: every player who may play and is not excused gets the minimum
--   number of plays; the league chooses the minimum
-- source: common practice
-- about: child
-- area: plays
-- sentence: A child got fewer plays than the minimum.
-- events: plays
-- look: head_official, division_president
-- reason: plays
-- todo: give the player the plays that are due
-- due: end
-- columns: game, team, player, positions, detail
with final as (
    select
        exposure.game,
        exposure.team,
        exposure.player,
        list_filter(
            list(play_count.position),
            lambda position: position is not null
        ) as positions,
        format(
            '{} of {} plays due are counted.',
            any_value(exposure.recorded), any_value(exposure.required)
        ) as detail,
    from exposure
    left join play_count using (game, team, player)
    where exposure.status = 'short'
    group by exposure.game, exposure.team, exposure.player
)

select * from final
order by game, team, player
