-- purpose: no check of the scale passed at this site last time
-- grain: one row per game
-- inputs: game, game_weighed, station
-- rule: the last game before this one at the same site in which anyone was
--   weighed has a check that passed
-- columns: game, detail
with proved as (
    select game, bool_or(is_passing) as is_proved
    from station
    group by game
),

earlier as (
    select
        game.game,
        arg_max(before.game, (before.kickoff_at, before.game)) as last_game,
    from game
    inner join game as before
        on game.site = before.site and game.kickoff_at > before.kickoff_at
    inner join game_weighed on before.game = game_weighed.game
    where not game.is_off
    group by game.game
),

final as (
    select
        earlier.game,
        format(
            'At this site, no check of the scale passed last time ({}).',
            earlier.last_game
        ) as detail,
    from earlier
    left join proved on earlier.last_game = proved.game
    where not coalesce(proved.is_proved, false)
)

select * from final
order by game
