-- purpose: a list that one side did not sign
-- grain: one row per game, team (whose list it is) and side (that did not sign)
-- inputs: signature_due, signature
-- procedure: if anyone was weighed, for either team, one of each side's own
--   weighmasters signs each team's list, empty lists too
-- source: common practice
-- about: team
-- area: signatures
-- sentence: One side did not sign a list.
-- events: weigh, late_weigh
-- look: weighmasters, site_official
-- reason: weigh
-- due: kickoff
-- columns: game, team, side, positions, detail
with final as (
    select
        due.game,
        due.team,
        due.side,
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
