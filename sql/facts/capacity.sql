-- purpose: the roles in which people spoke in a case
-- grain: one row per case and statement by someone who holds a role
-- inputs: statements, case_part, role
-- rule: roles are as officials.csv and appoint give them, no matter when; a
--   role for one game counts if the case asks about that game; roles has those
--   with authority, capacity all of them in words
-- columns: case_id, event_id, roles, capacity
with asked as (
    select distinct case_id, game,
    from statements
    where kind = 'case_open'
),

final as (
    select
        case_part.case_id,
        case_part.event_id,
        coalesce(
            list(distinct role.role order by role.role)
            filter (where role.has_authority),
            []
        ) as roles,
        string_agg(
            replace(role.role, '_', ' ')
            || coalesce(' of ' || role.team, '')
            || coalesce(' in ' || role.game, '')
            || if(role.has_authority, '', ' (appointment not confirmed)'),
            ', ' order by role.role, role.team, role.game
        ) as capacity,
    from case_part
    inner join statements on case_part.event_id = statements.event_id
    inner join role on statements.stated_by = role.official
    left join asked
        on case_part.case_id = asked.case_id and role.game = asked.game
    where role.game is null or asked.game is not null
    group by case_part.case_id, case_part.event_id
)

select * from final
order by case_id, event_id
