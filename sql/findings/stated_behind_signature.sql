-- purpose: a statement about a team's list that says it was written down before
--   the list was signed, though the signature does not cover it
-- grain: one row per statement
-- inputs: behind_signature, statement, side
-- procedure: people sign what the signature covers; they may not have seen this
--   statement
-- source: common practice
-- about: game
-- area: signatures
-- sentence: An entry dated before a signature came in after it.
-- events: weigh, late_weigh, initial, list, strike_off, stripe, withdraw
-- look: weighmasters, site_official, division_president
-- reason: weigh
-- columns: game, team, happened_at, positions, detail
with final as (
    select
        behind.game,
        behind.team,
        statement.happened_at,
        [statement.position] as positions,
        'Recorded after the list was signed, but dated before.' as detail,
    from behind_signature as behind
    inner join statement on behind.position = statement.position
    semi join side
        on behind.game = side.game and behind.team = side.team
)

select * from final
order by game, team, positions
