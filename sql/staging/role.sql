-- purpose: who holds which role, for which team and game, and whether with
--   authority
-- grain: one row per official, role, team (null: for no team) and game (null: in all games)
-- inputs: event, table_row, statement, appointment
-- rule: roles are as officials.csv and appoint give them, no matter when; a
--   role for one game is held in that game only; officials.csv gives authority,
--   and an appoint does if the appointer had it
-- columns: official, role, team, game, has_authority, position (of what first gave it with
--   authority; null without)
with line as (
    -- A corrected line may give a role that it, or another, gave before.
    select
        data.official as official,
        data.role as role,
        team,
        min(position) as position,
    from event
    where kind = 'official'
    group by all
),

stated as (
    select
        line.official,
        line.role,
        line.team,
        null::varchar as game,
        true as has_authority,
        line.position,
    from table_row
    inner join line
        on table_row.data.official = line.official
        and table_row.data.role = line.role
        and table_row.team is not distinct from line.team
    where table_row.kind = 'official'
    union all
    select
        statement.data.value as official,
        statement.data."to" as role,
        statement.team,
        statement.game,
        appointment.has_authority,
        statement.position,
    from statement
    inner join appointment on statement.position = appointment.position
)

select
    official,
    role,
    team,
    game,
    bool_or(has_authority) as has_authority,
    min(position) filter (where has_authority) as position,
from stated
group by official, role, team, game
order by official, role, team nulls last, game nulls last
