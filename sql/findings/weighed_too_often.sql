-- purpose: more weighs on the scale than the league allows
-- grain: one row per game, team and player
-- inputs: weighing, league
-- procedure: a player gets the league's number of attempts
-- source: common practice
-- about: child
-- area: order
-- sentence: A child was weighed more often than the league allows.
-- events: weigh, late_weigh
-- look: site_official
-- reason: weigh
-- right: may_carry
-- columns: game, team, player, positions, detail
with final as (
    select
        game,
        team,
        player,
        list(position order by position) as positions,
        format(
            'Weighed {} times; the league allows {}.',
            count(*), any_value(attempts)
        ) as detail,
    from weighing
    cross join league
    where is_scale
    group by game, team, player
    having count(*) > any_value(attempts)
)

select * from final
order by game, team, player
