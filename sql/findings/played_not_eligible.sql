-- purpose: plays are recorded for a player who might not play
-- grain: one row per game, team and player
-- inputs: play_right, play_count
-- rule: who may not play, by rulings up to the end of the game, has no plays
--   (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: head_official, division_president
with final as (
    select
        play_count.game,
        play_count.team,
        play_count.player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        list(play_count.position order by play_count.position) as positions,
        format(
            '{} plays recorded for somebody without leave to play.',
            sum(play_count.plays)
        ) as detail,
    from play_count
    inner join play_right using (game, team, player)
    where play_count.plays > 0 and play_right.may_play = 'none'
    group by play_count.game, play_count.team, play_count.player
)

select * from final
order by game, team, player
