-- purpose: plays by a player who was not allowed to play
-- grain: one row per game, team and player
-- inputs: play_right, play_count
-- procedure: a player who may not play, by rulings up to the end of the game,
--   has no plays
-- source: common practice
-- about: child
-- area: plays
-- sentence: A child played in a game they were not to play in.
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
        list(play_count.position order by play_count.position) as positions,
        format(
            '{} plays are entered; the player was not to play that day.',
            sum(play_count.plays)
        ) as detail,
    from play_count
    inner join play_right using (game, team, player)
    where play_count.plays > 0 and play_right.may_play = 'none'
    group by play_count.game, play_count.team, play_count.player
)

select * from final
order by game, team, player
