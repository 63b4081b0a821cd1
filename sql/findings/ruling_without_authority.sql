-- purpose: a ruling by somebody who does not review such cases
-- grain: one row per ruling
-- inputs: statement, authority, game
-- rule: who rules holds a role of the league's reviewers for the reason of the
--   case (common practice, no source); who reviews is the league's choice
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: division_president
with final as (
    select
        statement.game,
        null::varchar as team,
        null::varchar as player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
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
