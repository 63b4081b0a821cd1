-- purpose: a player of the roster who was neither weighed nor listed
-- grain: one row per game, team and player
-- inputs: roster, team_weighed, weighed, listing
-- procedure: where somebody of the team was weighed, everybody on its roster at
--   kickoff was weighed or has a listing that stands
-- source: common practice, no source
-- about: child
-- events: weigh, late_weigh
-- look: weighmasters
-- reason: weigh
-- columns: game, team, player, positions, detail
with final as (
    select
        roster.game,
        roster.team,
        roster.player,
        [team_weighed.first_position] as positions,
        'On the roster, and neither weighed nor on the list.' as detail,
    from roster
    inner join team_weighed using (game, team)
    anti join weighed using (game, team, player)
    anti join (select * from listing where is_standing) as standing
        using (game, team, player)
)

select * from final
order by game, team, player
