-- purpose: every player with an eligibility row, in games that are played
-- grain: one row per game, team and player
-- inputs: side, roster, statement
-- rule: everyone on either roster at kickoff, and anyone else with a weigh,
--   late_weigh, list or plays for that team; off the roster, the number is the
--   one entered first
-- columns: game, team, player, number, is_on_roster
with stated as (
    select
        side.game,
        side.team,
        statement.player,
        arg_min(statement.data.number, statement.happened_rank)
        filter (where statement.data.number is not null) as number,
        bool_or(statement.kind in ('weigh', 'late_weigh', 'list', 'plays'))
            as takes_part,
    from statement
    inner join side
        on statement.game = side.game and statement.team = side.team
    where statement.player is not null
    group by side.game, side.team, statement.player
),

final as (
    select game, team, player, number, true as is_on_roster
    from roster
    union all
    select game, team, player, number, false as is_on_roster
    from stated
    anti join roster using (game, team, player)
    where takes_part
)

select * from final
order by game, team, player
