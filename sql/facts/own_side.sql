-- purpose: weighs and initials by the player's own side, in games that are
--   played
-- grain: one row per weigh, late_weigh or initial by a weighmaster of the
--   player's team who is not also one of the opponents'
-- inputs: statement, side, side_role
-- rule: the opponents weigh a team's players and mark the book
-- columns: game, team, player, kind, stated_by, happened_at, position
with weighmaster as (
    select game, team, official
    from side_role
    where role = 'weighmaster'
),

final as (
    select
        statement.game,
        statement.team,
        statement.player,
        statement.kind,
        statement.stated_by,
        statement.happened_at,
        statement.position,
    from statement
    inner join side
        on statement.game = side.game and statement.team = side.team
    semi join weighmaster as own
        on statement.game = own.game
        and statement.team = own.team
        and statement.stated_by = own.official
    anti join weighmaster as opposing
        on statement.game = opposing.game
        and side.opponents = opposing.team
        and statement.stated_by = opposing.official
    where statement.kind in ('weigh', 'late_weigh', 'initial')
)

select * from final
order by position
