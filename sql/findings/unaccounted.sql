-- purpose: a player on the roster who was neither weighed nor listed
-- grain: one row per game, team and player
-- inputs: roster, team_weighed, weighed, listing
-- procedure: if anyone on the team was weighed, everyone on its roster at
--   kickoff was weighed or has a standing listing
-- source: common practice
-- about: child
-- area: list
-- sentence: A child on the roster was neither weighed nor listed.
-- events: weigh, late_weigh
-- look: weighmasters
-- reason: weigh
-- right: may_play
-- due: kickoff
-- columns: game, team, player, positions, detail
with final as (
    select
        roster.game,
        roster.team,
        roster.player,
        [team_weighed.first_position] as positions,
        'On the roster, but neither weighed nor on the list.' as detail,
    from roster
    inner join team_weighed using (game, team)
    anti join weighed using (game, team, player)
    anti join (select * from listing where is_standing) as standing
        using (game, team, player)
)

select * from final
order by game, team, player
