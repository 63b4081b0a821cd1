-- purpose: a player who may play, and nobody knows whether the player may carry
-- grain: one row per game, team and player
-- inputs: eligibility, weighed
-- procedure: without a usable scale the book's mark decides; without a mark
--   somebody has to
-- source: common practice, no source
-- about: child
-- events: weigh, late_weigh
-- look: head_official, division_president
-- reason: weigh
-- todo: have it decided whether the player may carry
-- columns: game, team, player, positions, detail
with final as (
    select
        eligibility.game,
        eligibility.team,
        eligibility.player,
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
