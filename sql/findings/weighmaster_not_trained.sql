-- purpose: someone worked at the weigh-in without valid training
-- grain: one row per game and official
-- inputs: statement, side, league, training
-- procedure: people who weigh, initial or stand at the scale were trained at or
--   before kickoff, at most training_valid_days of 24 hours before it, as
--   someone else entered; 0 means the league asks for no training
-- source: common practice
-- about: game
-- area: people
-- sentence: Someone worked at the weigh-in without training that is still
--   valid.
-- events: weigh, late_weigh, initial, at_scale
-- look: association_president
-- reason: weigh
-- columns: game, official, positions, detail
with working as (
    select
        statement.game,
        statement.stated_by as official,
        side.kickoff_at,
        list(statement.position order by statement.position) as positions,
    from statement
    inner join side
        on statement.game = side.game and statement.team = side.team
    where statement.kind in ('weigh', 'late_weigh', 'initial', 'at_scale')
    group by statement.game, statement.stated_by, side.kickoff_at
),

asked as (
    select working.*, league.training_valid_days,
    from working
    cross join league
    where league.training_valid_days > 0
),

final as (
    select
        game,
        official,
        positions,
        format(
            'No training is recorded in the {} days before kickoff.',
            training_valid_days
        ) as detail,
    from asked
    where not exists (
        from training
        where
            training.official = asked.official
            and asked.kickoff_at between training.trained_at
            and training.valid_until
    )
)

select * from final
order by game, official
