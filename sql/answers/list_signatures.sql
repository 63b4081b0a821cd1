-- purpose: who signed a team's ineligible list for a game, for which side and
--   how
-- grain: one row per countersign and side whose own weighmaster signed
-- inputs: signature, statement
-- rule: each side signs through its own weighmasters; how is key, device, ink
--   (a scan is kept) or sheet (as the day's paper says); list_number is the
--   digest that was signed, null on a sheet
-- columns: game, team, side, official, signed_at, entered_at, recorded_at, how, list_number,
--   event_id
with final as (
    select
        signature.game,
        signature.team,
        signature.side,
        statement.stated_by as official,
        statement.happened_at as signed_at,
        statement.entered_at,
        statement.recorded_at,
        coalesce(statement.data.how, 'sheet') as how,
        coalesce(statement.data.list, '') as list_number,
        statement.event_id,
        signature.position,
    from signature
    inner join statement on signature.position = statement.position
)

select
    game, team, side, official, signed_at, entered_at, recorded_at, how,
    list_number, event_id,
from final
where
    coalesce(game = getvariable('game'), true)
    and coalesce(team = getvariable('team'), true)
order by game, team, side, position
