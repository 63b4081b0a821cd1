-- purpose: a player was short of plays in earlier games of the team
-- grain: one row per game, team and player on the roster
-- inputs: side, roster, exposure
-- rule: plays that were due in an earlier game and not given, excuses aside
-- columns: game, team, player, detail
with final as (
    select
        side.game,
        side.team,
        roster.player,
        format(
            'Short of plays before: {}.',
            string_agg(
                format('{} in {}', exposure.short, exposure.game),
                ', ' order by earlier.kickoff_at, exposure.game
            )
        ) as detail,
    from side
    inner join roster using (game, team)
    inner join exposure
        on side.team = exposure.team and roster.player = exposure.player
    inner join side as earlier
        on exposure.game = earlier.game and exposure.team = earlier.team
    where
        exposure.status = 'short' and side.kickoff_at > earlier.kickoff_at
    group by side.game, side.team, roster.player
)

select * from final
order by game, team, player
