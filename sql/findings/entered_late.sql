-- purpose: a statement entered long after it happened
-- grain: one row per statement
-- inputs: statement, game, league
-- procedure: a statement is entered within the league's number of minutes;
--   training is entered when the office hears of it
-- source: common practice
-- about: season
-- area: entries
-- sentence: An entry was written down long after it happened.
-- events: any
-- look: registrar
-- reason: other
-- columns: game, happened_at, positions, detail
with final as (
    select
        statement.game,
        statement.happened_at,
        [statement.position] as positions,
        format(
            'Written down {} minutes after it happened.',
            date_diff('minute', statement.happened_at, statement.entered_at)
        ) as detail,
    from statement
    cross join league
    anti join (select game from game where is_off) as off_game
        on statement.game = off_game.game
    where
        statement.kind != 'trained'
        and statement.entered_at
        > statement.happened_at + to_minutes(league.entered_late_after_min)
)

select * from final
order by game nulls last, positions
