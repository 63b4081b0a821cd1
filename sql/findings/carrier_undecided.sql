-- purpose: a player who may play, and nobody knows yet whether the player may
--   carry
-- grain: one row per game, team and player
-- inputs: eligibility, weighed
-- procedure: without a usable scale, the mark in the book decides; without a
--   mark, someone has to
-- source: common practice
-- about: child
-- area: book
-- also: scale
-- sentence: Nobody decided whether a child may carry the ball.
-- events: weigh, late_weigh
-- look: site_official, head_official, division_president
-- reason: weigh
-- todo: get a decision on whether the player may carry
-- due: kickoff
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
