-- purpose: appointments made without authority, and who has confirmed them
-- grain: one row per appointment without authority
-- inputs: statement, appointment
-- rule: an appointment is confirmed by the first one with authority of the same
--   official to the same role and team, in the same game or the whole season;
--   is_at_table: to weigh or count plays in one game, by someone else
-- columns: position, event_id, game, team, official, role, given_by, is_at_table, confirmed_by
with made as (
    select
        statement.position,
        statement.event_id,
        statement.game,
        statement.team,
        statement.data.value as official,
        statement.data."to" as role,
        statement.stated_by,
        appointment.has_authority,
    from statement
    inner join appointment on statement.position = appointment.position
)

select
    made.position,
    any_value(made.event_id) as event_id,
    any_value(made.game) as game,
    any_value(made.team) as team,
    any_value(made.official) as official,
    any_value(made.role) as role,
    any_value(made.stated_by) as given_by,
    any_value(
        made.role in ('weighmaster', 'play_counter')
        and made.game is not null
        and made.stated_by <> made.official
    ) as is_at_table,
    arg_min(given.stated_by, given.position) as confirmed_by,
from made
left join made as given
    on made.official = given.official
    and made.role = given.role
    and made.team is not distinct from given.team
    and (given.game is null or made.game is not distinct from given.game)
    and given.has_authority
where not made.has_authority
group by made.position
order by made.position
