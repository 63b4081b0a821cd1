-- purpose: who signed a team's ineligible list of a game, for which side and how
-- grain: one row per countersign and side whose own weighmaster signed
-- inputs: signature, statement, event
-- rule: a side signs through its own weighmasters; how is key, ink (a scan is kept) or sheet (as
--   the day's paper says); is_current is false once a line was put on the list, struck off or
--   withdrawn after the signature was entered
-- columns: game, team, side, official, signed_at, how, event_id, is_current
with changes as (
    select game, team, entered_at, position
    from event
    where kind in ('list', 'strike_off')
    union all
    select
        changed.game,
        changed.team,
        withdrawal.entered_at,
        withdrawal.position,
    from event as withdrawal
    inner join event as changed on withdrawal.target_id = changed.event_id
    where
        withdrawal.kind = 'withdraw'
        and changed.kind in ('list', 'strike_off')
),

last_change as (
    select game, team, max(row(entered_at, position)) as moment
    from changes
    group by game, team
),

final as (
    select
        signature.game,
        signature.team,
        signature.side,
        statement.stated_by as official,
        statement.happened_at as signed_at,
        coalesce(statement.data.how, 'sheet') as how,
        statement.event_id,
        coalesce(
            last_change.moment < row(signature.entered_at, signature.position),
            true
        ) as is_current,
        signature.position,
    from signature
    inner join statement on signature.position = statement.position
    left join last_change
        on signature.game = last_change.game
        and signature.team = last_change.team
)

select game, team, side, official, signed_at, how, event_id, is_current
from final
where
    coalesce(game = getvariable('game'), true)
    and coalesce(team = getvariable('team'), true)
order by game, team, side, position
