-- purpose: the two sides of every game that is played
-- grain: one row per game and team
-- inputs: game
-- rule: a game that is off has no rows and no findings
-- columns: game, team, opponents, is_visitor, division, kickoff_at
with final as (
    select
        game, home as team, visitor as opponents, false as is_visitor,
        division, kickoff_at
    from game
    where not is_off
    union all
    select
        game, visitor as team, home as opponents, true as is_visitor,
        division, kickoff_at
    from game
    where not is_off
)

select * from final
order by game, team
