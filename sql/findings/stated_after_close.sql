-- purpose: a statement entered after the season was closed
-- grain: one row per statement
-- inputs: statement, game
-- procedure: after the season's close is first entered, only statements about
--   cases, rulings and withdrawals are entered
-- source: common practice
-- about: season
-- area: entries
-- sentence: An entry came in after the season was closed.
-- events: any
-- look: registrar
-- reason: other
-- columns: game, happened_at, positions, detail
with closing as (
    select min(entered_at) as closed_at,
    from statement
    where kind = 'season_close'
),

final as (
    select
        statement.game,
        statement.happened_at,
        [statement.position] as positions,
        'Written down after the season was closed.' as detail,
    from statement
    cross join closing
    anti join (select game from game where is_off) as off_game
        on statement.game = off_game.game
    where
        statement.entered_at > closing.closed_at
        and statement.kind not in (
            'case_open', 'case_refer', 'case_statement', 'case_exhibit',
            'case_close', 'ruling', 'withdraw'
        )
)

select * from final
order by game nulls last, positions
