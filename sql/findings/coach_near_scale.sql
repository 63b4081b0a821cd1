-- purpose: a concern that a coach was near the scale
-- grain: one row per concern
-- inputs: statement, game
-- rule: coaches stay away from the scale; the concern is passed on (common
--   practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: site_official
with final as (
    select
        statement.game,
        null::varchar as team,
        null::varchar as player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        statement.happened_at,
        [statement.position] as positions,
        'A concern was noted that a coach was near the scale.' as detail,
    from statement
    inner join game on statement.game = game.game
    where
        statement.kind = 'concern'
        and statement.data.reason = 'coach_near_scale'
        and not game.is_off
)

select * from final
order by game, positions
