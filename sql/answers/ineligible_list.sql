-- purpose: a team's ineligible list for a game: its lines, standing or struck
--   off
-- grain: one row per list statement
-- inputs: listing, statement, eligibility
-- rule: struck lines stay on the list, crossed off, with who struck them and
--   when
-- columns: game, team, number, player, reason, listed_at, listed_by, struck_at, struck_by,
--   may_play, may_carry, basis, event_id, strike_id
with final as (
    select
        listing.game,
        listing.team,
        eligibility.number,
        listing.player,
        listing.reason,
        listing.listed_at,
        listing.listed_by,
        strike.happened_at as struck_at,
        strike.stated_by as struck_by,
        eligibility.may_play,
        eligibility.may_carry,
        eligibility.basis,
        listing.event_id,
        strike.event_id as strike_id,
        listing.position,
    from listing
    inner join eligibility using (game, team, player)
    left join statement as strike
        on listing.struck_rank = strike.happened_rank
)

select
    game,
    team,
    number,
    player,
    reason,
    listed_at,
    listed_by,
    struck_at,
    struck_by,
    may_play,
    may_carry,
    basis,
    event_id,
    strike_id,
from final
where
    coalesce(game = getvariable('game'), true)
    and coalesce(team = getvariable('team'), true)
order by game, team, number nulls last, player, position
