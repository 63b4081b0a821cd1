-- purpose: a ruling by somebody who does not review such cases
-- grain: one row per ruling
-- inputs: statement, authority, game
-- procedure: who rules holds a role of the league's reviewers for the reason of
--   the case; who reviews is the league's choice
-- source: common practice, no source
-- about: case
-- events: ruling
-- look: division_president
-- reason: other
-- columns: game, happened_at, positions, detail
with final as (
    select
        statement.game,
        statement.happened_at,
        [statement.position] as positions,
        format(
            'The ruling in case {} came from outside its reviewers.',
            authority.case_id
        ) as detail,
    from authority
    inner join statement on authority.position = statement.position
    anti join (select game from game where is_off) as off_game
        on statement.game = off_game.game
    where not authority.has_authority
)

select * from final
order by game nulls last, positions
