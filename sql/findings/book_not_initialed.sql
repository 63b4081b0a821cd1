-- purpose: no initial in the book for a player's first game with a weigh on the
--   scale
-- grain: one row per game, team and player
-- inputs: roster, weighing, mark
-- rule: a player's first game of a division (by kickoff, then game id) with a
--   weigh of value ok or over, for whichever team, has an initial (common
--   practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: weighmasters, division_president
with first_game as (
    select
        division,
        player,
        first(game order by kickoff_at, game) as game,
    from weighing
    where is_scale
    group by division, player
),

final as (
    select
        roster.game,
        roster.team,
        roster.player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        list(weighing.position order by weighing.position) as positions,
        'First game with a weigh on the scale, and no initial.' as detail,
    from roster
    inner join first_game using (game, player)
    inner join weighing using (game, player)
    anti join mark
        on roster.game = mark.game and roster.player = mark.player
    where weighing.is_scale
    group by roster.game, roster.team, roster.player
)

select * from final
order by game, team, player
