-- purpose: who holds which role, for which team and game, and whether with
--   authority
-- grain: one row per official, role, team (null: for no team) and game (null: in all games)
-- inputs: event, statement, appointment
-- rule: roles are as officials.csv and appoint give them, no matter when; a
--   role for one game is held in that game only; officials.csv gives authority,
--   and an appoint does if the appointer had it
-- columns: official, role, team, game, has_authority, position (of what first gave it with
--   authority; null without)
with stated as (
    select
        data.official as official,
        data.role as role,
        team,
        null::varchar as game,
        true as has_authority,
        position,
    from event
    where kind = 'official'
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
