-- purpose: over the season, how the sides signed the ineligible lists
-- grain: one row per level, unit (season_scope) and week; null for all weeks
-- inputs: season_scope, side, game_weighed, list_signatures, season_day
-- rule: in a game in which somebody was weighed each side signs both lists; a
--   side that signed a list more than once counts once, by key before ink
--   before sheet; the unit is that of the side that signs
-- columns: level, unit, week, due, by_key, by_ink, by_sheet, missing
with due as (
    select listed.game, listed.team, signing.team as side,
    from side as listed
    inner join side as signing on listed.game = signing.game
    inner join game_weighed on listed.game = game_weighed.game
),

given as (
    select
        game,
        team,
        side,
        bool_or(how = 'key') as by_key,
        bool_or(how = 'ink') as by_ink,
    from list_signatures
    group by game, team, side
),

final as (
    select
        season_scope.level,
        season_scope.unit,
        season_day.week,
        count(*) as due,
        count(*) filter (where given.by_key) as by_key,
        count(*) filter (where given.by_ink and not given.by_key) as by_ink,
        count(*) filter (where not given.by_ink and not given.by_key)
            as by_sheet,
        count(*) filter (where given.game is null) as missing,
    from due
    inner join season_scope on due.side = season_scope.team
    inner join season_day on due.game = season_day.game
    left join given
        on due.game = given.game
        and due.team = given.team
        and due.side = given.side
    group by
        grouping sets (
            (season_scope.level, season_scope.unit),
            (season_scope.level, season_scope.unit, season_day.week)
        )
)

select * from final
order by level, unit, week nulls first
