-- purpose: a scale not set to the limit of this game
-- grain: one row per station
-- inputs: station
-- procedure: the limit is the division's carrier limit plus the allowance in
--   force on the game's local date; the league chooses the date of an allowance
-- source: common practice
-- about: scale
-- area: scale
-- sentence: The scale was not set to the limit of the game.
-- events: station
-- look: site_official
-- reason: weigh
-- columns: game, happened_at, positions, detail
with final as (
    select
        game,
        happened_at,
        [position] as positions,
        format(
            'The scale was set to {} lb; the limit for this game is {} lb.',
            limit_clb / 100, due_limit_clb / 100
        ) as detail,
    from station
    where limit_clb != due_limit_clb
)

select * from final
order by game, positions
