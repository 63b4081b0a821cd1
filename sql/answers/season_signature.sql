-- purpose: the signatures that are due to ineligible lists, and how each was
--   given
-- grain: one row per weighed game, team (whose list it is) and side that signs
-- inputs: side, game_weighed, signature, statement
-- rule: where somebody was weighed, for either team, each side signs each
--   team's list; how is key, ink, sheet or missing; of several the first of
--   key, ink, sheet
-- columns: game, team, side, how
with given as (
    select
        signature.game,
        signature.team,
        signature.side,
        list(distinct coalesce(statement.data.how, 'sheet')) as ways,
    from signature
    inner join statement on signature.position = statement.position
    group by signature.game, signature.team, signature.side
),

final as (
    select
        listed.game,
        listed.team,
        signing.team as side,
        case
            when list_contains(given.ways, 'key') then 'key'
            when list_contains(given.ways, 'ink') then 'ink'
            when list_contains(given.ways, 'sheet') then 'sheet'
            else 'missing'
        end as how,
    from side as listed
    inner join side as signing on listed.game = signing.game
    inner join game_weighed on listed.game = game_weighed.game
    left join given
        on listed.game = given.game
        and listed.team = given.team
        and signing.team = given.side
)

select * from final
order by game, team, side
