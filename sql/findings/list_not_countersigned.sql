-- purpose: a list that one side did not sign
-- grain: one row per game, team (whose list it is) and side (that did not sign)
-- inputs: side, game_weighed, signature
-- rule: where somebody was weighed, for either team, an own weighmaster of each
--   side signs each team's list, empty ones too (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: weighmasters, site_official
with final as (
    select
        listed.game,
        listed.team,
        null::varchar as player,
        null::varchar as official,
        signing.team as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        [game_weighed.first_position] as positions,
        'No weighmaster of this side signed the list.' as detail,
    from side as listed
    inner join side as signing on listed.game = signing.game
    inner join game_weighed on listed.game = game_weighed.game
    anti join signature
        on listed.game = signature.game
        and listed.team = signature.team
        and signing.team = signature.side
)

select * from final
order by game, team, side
