-- purpose: a weigh before the weigh-in opened
-- grain: one row per game and team
-- inputs: weighing, league
-- procedure: the weigh-in opens the league's number of minutes before kickoff;
--   late weighs do not count
-- source: common practice
-- about: game
-- area: order
-- sentence: Weighing began before the weigh-in opened.
-- events: weigh
-- look: site_official
-- reason: weigh
-- columns: game, team, positions, detail
with final as (
    select
        game,
        team,
        list(position order by position) as positions,
        format(
            '{} weighed more than {} minutes before kickoff.',
            if(
                count(distinct player) = 1,
                '1 child was',
                count(distinct player) || ' children were'
            ),
            any_value(opens_before_kickoff_min)
        ) as detail,
    from weighing
    cross join league
    where
        kind = 'weigh'
        and happened_at < kickoff_at - to_minutes(opens_before_kickoff_min)
    group by game, team
)

select * from final
order by game, team
