-- purpose: a protest entered too late
-- grain: one row per game and case
-- inputs: case_opening, half_end, game, league
-- procedure: a protest about a game is entered within the league's number of
--   hours after its end
-- source: common practice
-- about: case
-- area: reviews
-- sentence: A protest came in too late.
-- events: case_open, half
-- look: division_president
-- reason: other
-- columns: game, case_id, positions, detail
with final as (
    select
        case_opening.game,
        case_opening.case_id,
        list(distinct half_end.position) || list(case_opening.position)
            as positions,
        format(
            'The protest was written down more than {} hours after the game.',
            any_value(league.protest_within_hours)
        ) as detail,
    from case_opening
    inner join half_end
        on case_opening.game = half_end.game and half_end.half = 2
    inner join game on case_opening.game = game.game
    cross join league
    where
        case_opening.reason = 'protest'
        and case_opening.is_first
        and not game.is_off
        and case_opening.entered_at
        > half_end.ended_at + to_hours(league.protest_within_hours)
    group by case_opening.game, case_opening.case_id
)

select * from final
order by game, case_id
