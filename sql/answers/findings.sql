-- purpose: steps of the procedure that are missing or went wrong
-- grain: one row per finding
-- inputs: finding, event, game
-- rule: each file of findings/ is one rule; the ledger points at the
--   statements, and people decide
-- columns: rule, game, team, player, official, side, case, at, events, detail
with chosen as materialized (
    select
        finding.*,
        row_number() over () as finding_id,
    from finding
    where
        (getvariable('game') is null or game = getvariable('game'))
        and (getvariable('team') is null or team = getvariable('team'))
),

shown as (
    select
        showing.finding_id,
        min(event.position) as first_position,
        list(event.event_id order by event.position) as events,
    from (
        select distinct finding_id, unnest(positions) as position
        from chosen
    ) as showing
    inner join event on showing.position = event.position
    group by showing.finding_id
),

final as (
    select
        chosen.*,
        chosen.case_id as "case",
        chosen.happened_at as "at",
        coalesce(shown.events, []) as events,
        shown.first_position,
        game.kickoff_at,
    from chosen
    left join shown on chosen.finding_id = shown.finding_id
    left join game on chosen.game = game.game
)

select
    rule, game, team, player, official, side, "case", "at", events, detail
from final
order by
    kickoff_at nulls last,
    game nulls last,
    rule,
    team nulls last,
    player nulls last,
    official nulls last,
    side nulls last,
    "case" nulls last,
    "at" nulls last,
    first_position nulls last
