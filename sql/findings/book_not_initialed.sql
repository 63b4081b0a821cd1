-- purpose: a first game with a weigh on the scale and no initial in the book
-- grain: one row per game, team and player
-- inputs: roster, weighing, mark
-- procedure: a player has an initial for the first game of a division (by
--   kickoff, then game id), for any team, with a weigh of ok or over
-- source: common practice
-- about: child
-- area: book
-- sentence: A child's first game was not marked in the book.
-- events: weigh, late_weigh
-- look: weighmasters, division_president
-- reason: weigh
-- todo: initial the book
-- due: kickoff
-- columns: game, team, player, positions, detail
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
        list(weighing.position order by weighing.position) as positions,
        'The first weigh was not marked in the book.' as detail,
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
