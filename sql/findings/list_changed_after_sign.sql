-- purpose: a line added to a list that was already signed
-- grain: one row per list statement about a player
-- inputs: listing, signature, weighed
-- procedure: after the first signature, only late players who weighed over are
--   listed
-- source: common practice
-- about: child
-- area: signatures
-- sentence: A line was added to a list after it was signed.
-- events: list
-- look: weighmasters, site_official
-- reason: weigh
-- columns: game, team, player, happened_at, positions, detail
with first_signature as (
    select game, team, min(entered_at) as signed_at,
    from signature
    group by game, team
),

final as (
    select
        listing.game,
        listing.team,
        listing.player,
        listing.listed_at as happened_at,
        [listing.position] as positions,
        'Listed after the list was first signed.' as detail,
    from listing
    inner join first_signature using (game, team)
    left join weighed using (game, team, player)
    where
        listing.entered_at > first_signature.signed_at
        and not coalesce(
            listing.reason = 'over'
            and weighed.counts_kind = 'late_weigh'
            and weighed.counts_value = 'over',
            false
        )
)

select * from final
order by game, team, player, positions
