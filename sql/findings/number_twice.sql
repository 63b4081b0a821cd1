-- purpose: two players of a team with the same number
-- grain: one row per game, team and player
-- inputs: roster, side, roster_move
-- procedure: at kickoff, no two players on a team's roster share a number;
--   players without a number do not count
-- source: common practice
-- about: child
-- area: rosters
-- sentence: Two children on a team had the same number.
-- events: player, enter_player, roster_add, roster_drop, number_change
-- look: registrar, association_president
-- reason: roster
-- columns: game, team, player, positions, detail
with twice as (
    select game, team, number,
    from roster
    where number is not null
    group by game, team, number
    having count(*) > 1
),

final as (
    select
        roster.game,
        roster.team,
        roster.player,
        list(roster_move.position order by roster_move.position) as positions,
        format('Another player on the team also has number {}.', roster.number)
            as detail,
    from roster
    inner join twice using (game, team, number)
    inner join side on roster.game = side.game and roster.team = side.team
    inner join roster_move
        on roster.team = roster_move.team
        and roster.player = roster_move.player
        and roster_move.moved_at <= side.kickoff_at
    group by roster.game, roster.team, roster.player, roster.number
)

select * from final
order by game, team, player
