-- purpose: which rulings were given with authority, withdrawn ones too
-- grain: one row per ruling
-- inputs: event, case_opening, role
-- rule: `by` holds, with authority, a role of the league's reviewers for the
--   reason of the case as opened in the ruling's chain; a role for one game
--   counts if that opening names the game; if the opening does not count,
--   nobody has authority
-- columns: position, case_id, has_authority, is_role_later (the ledger came to
--   know the role only after the ruling)
with reviewing as (
    select
        event.position,
        min(role.position) as role_position,
    from event
    inner join case_opening
        on event.data."case" = case_opening.case_id
        and split_part(event.event_id, ':', 1) = case_opening.chain
    inner join role
        on event.stated_by = role.official
        and list_contains(case_opening.reviewers, role.role)
        and role.has_authority
        and (role.game is null or role.game = case_opening.game)
    where event.kind = 'ruling'
    group by event.position
),

final as (
    select
        event.position,
        event.data."case" as case_id,
        reviewing.position is not null as has_authority,
        coalesce(reviewing.role_position > event.position, false)
            as is_role_later,
    from event
    left join reviewing on event.position = reviewing.position
    where event.kind = 'ruling'
)

select * from final
order by position
