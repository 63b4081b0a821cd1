-- purpose: statements about a team's list that a signature does not cover,
--   though they say they were written down before it was recorded
-- grain: one row per statement, withdrawn ones too
-- inputs: event
-- rule: a signature by key or with a scan (a withdrawn one too) covers the
--   events before it in its chain and, in each chain it names, the events up to
--   the length named; the list depends on weighs, marks, listings, strike-offs,
--   stripes, their withdrawals, and withdrawals of those
-- columns: position, game, team
with recursive signed as (
    select
        game,
        team,
        chain,
        seq,
        recorded_at,
        data.others as others,
    from event
    where
        kind = 'countersign'
        and (data.how in ('key', 'device') or data.scan is not null)
),

about_list as (
    select event_id, game, team
    from event
    semi join signed using (game, team)
    where
        kind in (
            'weigh', 'late_weigh', 'initial', 'list', 'strike_off', 'stripe'
        )
    union
    select withdrawal.event_id, about_list.game, about_list.team
    from about_list
    inner join event as withdrawal
        on about_list.event_id = withdrawal.target_id
),

final as (
    select distinct
        event.position,
        about_list.game,
        about_list.team,
    from about_list
    inner join event on about_list.event_id = event.event_id
    inner join signed
        on about_list.game = signed.game and about_list.team = signed.team
    where
        event.entered_at <= signed.recorded_at
        and event.seq > case
            when event.chain = signed.chain then signed.seq
            else coalesce(signed.others[event.chain].size, 0)
        end
)

select * from final
order by position
