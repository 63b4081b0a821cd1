-- purpose: who might play in the game as it was played
-- grain: one row per game, team and player
-- inputs: entitlement, ruling, half_end
-- rule: only rulings given by the end of half 2 count (all, if its end was not
--   entered), so a later ruling does not undo the plays
-- columns: game, team, player, number, may_play
with in_time as (
    select
        ruling.game,
        ruling.team,
        ruling.player,
        arg_max(ruling.may_play, ruling.entered_rank) as may_play,
    from ruling
    left join half_end on ruling.game = half_end.game and half_end.half = 2
    where
        ruling.may_play is not null
        and coalesce(ruling.happened_at <= half_end.ended_at, true)
    group by ruling.game, ruling.team, ruling.player
),

final as (
    select
        entitlement.game,
        entitlement.team,
        entitlement.player,
        entitlement.number,
        coalesce(in_time.may_play, entitlement.may_play) as may_play,
    from entitlement
    left join in_time using (game, team, player)
)

select * from final
order by game, team, player
