-- purpose: who holds which role, for which team
-- grain: one row per official, role and team (null: for no team)
-- inputs: event, statement
-- rule: roles are as officials.csv and appoint have them, whenever appointed
-- columns: official, role, team
with stated as (
    select data.official as official, data.role as role, team
    from event
    where kind = 'official'
    union
    select data.value as official, data."to" as role, team
    from statement
    where kind = 'appoint'
)

select official, role, team
from stated
order by official, role, team
