-- purpose: a player on the rosters of two teams
-- grain: one row per game, team and player
-- inputs: roster, side, roster_move
-- procedure: at kickoff, a player is on only one team's roster; the other
--   team's roster is read at the same moment, whether or not it plays
-- source: common practice
-- about: child
-- area: rosters
-- sentence: A child was on the rosters of two teams.
-- events: player, enter_player, roster_add, roster_drop
-- look: registrar, association_president
-- reason: roster
-- columns: game, team, player, positions, detail
with elsewhere as (
    select
        roster.game,
        roster.team,
        roster.player,
        roster_move.team as other_team,
        list(roster_move.position) as moves,
    from roster
    inner join side on roster.game = side.game and roster.team = side.team
    inner join roster_move
        on roster.player = roster_move.player
        and roster.team != roster_move.team
        and roster_move.moved_at <= side.kickoff_at
    where roster_move.joins is not null
    group by roster.game, roster.team, roster.player, roster_move.team
    having arg_max(roster_move.joins, roster_move.move_rank)
),

final as (
    select
        game,
        team,
        player,
        list_sort(flatten(list(moves))) as positions,
        format(
            'Also on the roster of {} at kickoff.',
            string_agg(other_team, ', ' order by other_team)
        ) as detail,
    from elsewhere
    group by game, team, player
)

select * from final
order by game, team, player
