-- purpose: a statement withdrawn by someone other than its author
-- grain: one row per withdrawal
-- inputs: statement, event, game
-- procedure: only its author withdraws a statement; the game is that of the
--   statement withdrawn
-- source: 21 CFR 11.10(e), read; a model: a change does not obscure what was
--   there
-- about: season
-- area: entries
-- sentence: An entry was withdrawn by someone other than its author.
-- events: withdraw
-- look: registrar
-- reason: other
-- columns: game, happened_at, positions, detail
with final as (
    select
        target.game,
        statement.happened_at,
        [statement.position] as positions,
        format(
            'Statement {} was withdrawn by someone other than its author.',
            target.event_id
        ) as detail,
    from statement
    inner join event as target on statement.target_id = target.event_id
    anti join (select game from game where is_off) as off_game
        on target.game = off_game.game
    where
        statement.kind = 'withdraw'
        and statement.stated_by != target.stated_by
)

select * from final
order by game nulls last, positions
