-- purpose: a weigh, not entered as late, after the team's weigh-in was closed
-- grain: one row per game, team and player
-- inputs: weighing, statement
-- procedure: after the first close of a team's weigh-in, every weigh is a late
--   weigh
-- source: common practice
-- about: child
-- area: late
-- sentence: A child was weighed after the close and not entered as late.
-- events: weigh, close
-- look: site_official
-- reason: weigh
-- right: may_play
-- columns: game, team, player, positions, detail
with closing as (
    select
        game,
        team,
        min(happened_at) as closed_at,
        arg_min(position, happened_rank) as position,
    from statement
    where kind = 'close'
    group by game, team
),

final as (
    select
        weighing.game,
        weighing.team,
        weighing.player,
        list(distinct closing.position) || list(weighing.position) as positions,
        'Weighed after the close, but not recorded as a late weigh.' as detail,
    from weighing
    inner join closing using (game, team)
    where
        weighing.kind = 'weigh' and weighing.happened_at > closing.closed_at
    group by weighing.game, weighing.team, weighing.player
)

select * from final
order by game, team, player
