-- purpose: the limit that the scale is set to for a game
-- grain: one row per game
-- inputs: game, division, league, local_date
-- rule: the division's carrier limit plus the allowance in force, the latest
--   whose date is not after the game's local date
-- columns: game, division, limit_clb
with step as (
    select unnest(limit_allowance) as step
    from league
),

allowance as (
    select
        local_date.game,
        arg_max(step.step.clb, step.step."from") as allowance_clb,
    from local_date
    inner join step on step.step."from" <= local_date.local_date
    group by local_date.game
),

final as (
    select
        game.game,
        game.division,
        division.carrier_limit_clb
        + coalesce(allowance.allowance_clb, 0) as limit_clb,
    from game
    inner join division on game.division = division.division
    left join allowance on game.game = allowance.game
)

select game, division, limit_clb
from final
order by game
