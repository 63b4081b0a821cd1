-- purpose: an initial in the book by the player's own side
-- grain: one row per initial of a player
-- inputs: own_side
-- rule: the opponents weigh and mark the book: not a weighmaster of the
--   player's team who is none of the opponents' (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: site_official
with final as (
    select
        game,
        team,
        player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        happened_at,
        [position] as positions,
        'Initialed by a weighmaster of the player''s own side.' as detail,
    from own_side
    where kind = 'initial'
)

select * from final
order by game, team, player, positions
