-- purpose: a concern that a coach was near the scale
-- grain: one row per concern
-- inputs: statement, game
-- procedure: coaches stay away from the scale; the concern is passed on
-- source: common practice
-- about: game
-- area: people
-- sentence: Someone noted a coach near the scale.
-- events: concern
-- look: site_official
-- reason: weigh
-- columns: game, happened_at, positions, detail
with final as (
    select
        statement.game,
        statement.happened_at,
        [statement.position] as positions,
        'Someone noted a coach near the scale.' as detail,
    from statement
    inner join game on statement.game = game.game
    where
        statement.kind = 'concern'
        and statement.data.reason = 'coach_near_scale'
        and not game.is_off
)

select * from final
order by game, positions
