-- purpose: the signatures due to ineligible lists, and how each was given
-- grain: one row per weighed game, team (whose list it is) and side that signs
-- inputs: signature_due, signature, statement
-- rule: how is the first that was given of key (a phone's too), ink and
--   sheet, otherwise missing
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
        due.game,
        due.team,
        due.side,
        case
            when list_has_any(given.ways, ['key', 'device']) then 'key'
            when list_contains(given.ways, 'ink') then 'ink'
            when list_contains(given.ways, 'sheet') then 'sheet'
            else 'missing'
        end as how,
    from signature_due as due
    left join given
        on due.game = given.game
        and due.team = given.team
        and due.side = given.side
)

select * from final
order by game, team, side
