-- purpose: who is to stand at the scale for a team, in games that are played
-- grain: one row per game, team and official
-- inputs: statement, side, side_role, training, league
-- rule: an assign that counts; is_trained: the official's training, if the
--   league asks for any, is valid at kickoff
-- columns: game, team, official, position, is_own_weighmaster, is_coach,
--   is_trained
with assigned as (
    select
        side.game,
        side.team,
        statement.data.value as official,
        side.kickoff_at,
        min(statement.position) as position,
    from statement
    inner join side
        on statement.game = side.game and statement.team = side.team
    where statement.kind = 'assign'
    group by side.game, side.team, statement.data.value, side.kickoff_at
),

final as (
    select
        assigned.game,
        assigned.team,
        assigned.official,
        assigned.position,
        exists (
            from side_role
            where
                side_role.game = assigned.game
                and side_role.team = assigned.team
                and side_role.official = assigned.official
                and side_role.role = 'weighmaster'
        ) as is_own_weighmaster,
        exists (
            from side_role
            where
                side_role.game = assigned.game
                and side_role.official = assigned.official
                and side_role.role = 'coach'
        ) as is_coach,
        league.training_valid_days = 0
        or exists (
            from training
            where
                training.official = assigned.official
                and assigned.kickoff_at between training.trained_at
                and training.valid_until
        ) as is_trained,
    from assigned
    cross join league
)

select * from final
order by game, team, official
