-- purpose: a player who may play, and nobody knows whether the player may carry
-- grain: one row per game, team and player
-- inputs: eligibility, weighed
-- rule: without a usable scale the book's mark decides; without a mark somebody
--   has to (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: head_official, division_president
with final as (
    select
        eligibility.game,
        eligibility.team,
        eligibility.player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        [weighed.counts_position] as positions,
        'No scale and no mark in the book: carrying is undecided.' as detail,
    from eligibility
    inner join weighed using (game, team, player)
    where
        eligibility.may_play != 'none'
        and eligibility.may_carry = 'undecided'
)

select * from final
order by game, team, player
