-- purpose: a ruling by someone who does not review such cases
-- grain: one row per ruling
-- inputs: statement, authority, game
-- procedure: only the league's reviewers for the case's reason rule on it; the
--   league chooses its reviewers
-- source: common practice
-- about: case
-- area: reviews
-- sentence: Someone ruled on a question they do not review.
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
            'The ruling in case {} is not by one of its reviewers.',
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
