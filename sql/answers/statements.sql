-- purpose: every statement as it was entered, counted or withdrawn
-- grain: one row per statement
-- inputs: event, withdrawn, behind_signature, authority, league
-- rule: a withdrawn statement stays in the ledger; withdrawn_by is its first
--   withdrawal that is not itself withdrawn; is_late means recorded more than
--   the league's minutes after it says it was written down
-- columns: position, event_id, kind, happened_at, entered_at, recorded_at,
--   stated_by, game, team, player, number, value, reason, half, count,
--   initials, case_id, may_play, may_carry, kickoff_at, site, to_role,
--   target_id, withdrawn_by, is_loaded, is_late, is_behind, is_role_later
with withdrawal as (
    select
        event.target_id,
        arg_min(event.event_id, event.position) as event_id,
    from event
    anti join withdrawn on event.position = withdrawn.position
    where event.kind = 'withdraw'
    group by event.target_id
),

final as (
    select
        event.*,
        withdrawal.event_id as withdrawn_by,
        event.data.source is not null as is_loaded,
        event.recorded_at
        > event.entered_at + to_minutes(league.entered_late_after_min)
            as is_late,
        behind.position is not null as is_behind,
        coalesce(authority.is_role_later, false) as is_role_later,
    from event
    cross join league
    left join withdrawal on event.event_id = withdrawal.target_id
    left join behind_signature as behind on event.position = behind.position
    left join authority
        on event.position = authority.position
        and withdrawal.event_id is null
    where event.happened_at is not null
)

select
    position,
    event_id,
    kind,
    happened_at,
    entered_at,
    recorded_at,
    stated_by,
    game,
    team,
    player,
    data.number as number,
    data.value as value,
    data.reason as reason,
    data.half as half,
    data.count as count,
    data.initials as initials,
    data."case" as case_id,
    data.may_play as may_play,
    data.may_carry as may_carry,
    data.kickoff as kickoff_at,
    data.site as site,
    data."to" as to_role,
    target_id,
    withdrawn_by,
    is_loaded,
    is_late,
    is_behind,
    is_role_later,
from final
where coalesce(game = getvariable('game'), true)
order by position
