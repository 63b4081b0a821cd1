-- purpose: which rulings were given with authority
-- grain: one row per ruling
-- inputs: statement, case_opening, role
-- rule: `by` holds, with authority, a role of the league's reviewers for the
--   reason of the case as opened in the ruling's chain; a role for one game
--   counts if that opening names the game; if the opening does not count,
--   nobody has authority
-- columns: position, case_id, has_authority, is_role_later (the ledger came to
--   know the role only after the ruling)
with reviewing as (
    select
        statement.position,
        min(role.position) as role_position,
    from statement
    inner join case_opening
        on statement.data."case" = case_opening.case_id
        and split_part(statement.event_id, ':', 1) = case_opening.chain
    inner join role
        on statement.stated_by = role.official
        and list_contains(case_opening.reviewers, role.role)
        and role.has_authority
        and (role.game is null or role.game = case_opening.game)
    where statement.kind = 'ruling'
    group by statement.position
),

final as (
    select
        statement.position,
        statement.data."case" as case_id,
        reviewing.position is not null as has_authority,
        coalesce(reviewing.role_position > statement.position, false)
            as is_role_later,
    from statement
    left join reviewing on statement.position = reviewing.position
    where statement.kind = 'ruling'
)

select * from final
order by position
