-- purpose: a late player presented after the first half
-- grain: one row per game, team and player
-- inputs: weighed, half_end
-- procedure: a late player is presented by the end of the first half
-- source: common practice
-- about: child
-- area: late
-- sentence: A child came to be weighed after the first half.
-- events: late_weigh, half
-- look: site_official, head_official
-- reason: weigh
-- right: may_play
-- columns: game, team, player, positions, detail
with final as (
    select
        weighed.game,
        weighed.team,
        weighed.player,
        [half_end.position, weighed.first_position] as positions,
        'The late weigh came after the first half ended.' as detail,
    from weighed
    inner join half_end on weighed.game = half_end.game and half_end.half = 1
    where
        weighed.first_kind = 'late_weigh'
        and weighed.first_at > half_end.ended_at
)

select * from final
order by game, team, player
