-- purpose: a list that one side did not sign
-- grain: one row per game, team (whose list it is) and side (that did not sign)
-- inputs: signature_due, signature
-- rule: where somebody was weighed, for either team, an own weighmaster of each
--   side signs each team's list, empty ones too (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: weighmasters, site_official
with final as (
    select
        due.game,
        due.team,
        null::varchar as player,
        null::varchar as official,
        due.side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        [due.first_position] as positions,
        'No weighmaster of this side signed the list.' as detail,
    from signature_due as due
    anti join signature
        on due.game = signature.game
        and due.team = signature.team
        and due.side = signature.side
)

select * from final
order by game, team, side
