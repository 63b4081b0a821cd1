-- purpose: a scale that was not set to the limit of this game
-- grain: one row per station
-- inputs: station
-- rule: the limit is the division's carrier limit plus the allowance in force
--   on the game's local date (common practice, no source); the date of an
--   allowance is the league's choice
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: site_official
with final as (
    select
        game,
        null::varchar as team,
        null::varchar as player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        happened_at,
        [position] as positions,
        format(
            'The scale was set to {} lb; the limit of this game is {} lb.',
            limit_clb / 100, due_limit_clb / 100
        ) as detail,
    from station
    where limit_clb != due_limit_clb
)

select * from final
order by game, positions
