-- purpose: plays of the first half are recorded for a player of the second half
--   only
-- grain: one row per game, team and player
-- inputs: play_right, play_count
-- procedure: who may play in the second half only, by rulings up to the end of
--   the game, has no plays in the first
-- source: common practice, no source
-- about: child
-- events: plays
-- look: head_official, division_president
-- reason: plays
-- columns: game, team, player, positions, detail
with final as (
    select
        play_count.game,
        play_count.team,
        play_count.player,
        [play_count.position] as positions,
        format(
            '{} plays of the first half for a player of the second half.',
            play_count.plays
        ) as detail,
    from play_count
    inner join play_right using (game, team, player)
    where
        play_count.half = 1
        and play_count.plays > 0
        and play_right.may_play = 'second_half'
)

select * from final
order by game, team, player
