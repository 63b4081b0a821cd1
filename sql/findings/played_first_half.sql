-- purpose: plays in the first half by a player who may play only in the second
-- grain: one row per game, team and player
-- inputs: play_right, play_count
-- procedure: a player who may play only in the second half, by rulings up to
--   the end of the game, has no plays in the first
-- source: common practice
-- about: child
-- area: plays
-- sentence: A child played in the first half who was due only in the second.
-- events: plays
-- look: head_official, division_president
-- reason: plays
-- right: may_play
-- columns: game, team, player, positions, detail
with final as (
    select
        play_count.game,
        play_count.team,
        play_count.player,
        [play_count.position] as positions,
        format(
            '{} plays in the first half; allowed only in the second.',
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
