-- purpose: how many children on a team each measure concerns; no child is named
-- grain: one row per measure and team
-- inputs: exposure, weighed, finding, game
-- rule: due counts children with plays due in some game, short those who had
--   fewer, late those presented late; each other measure is a rule with a
--   finding about the child; a child on two teams counts once, in every measure
--   for the team of the last game that a measure concerns
-- columns: measure, team, children
with concerned as (
    select 'due' as measure, game, team, player,
    from exposure
    where status != 'not_required'
    union all
    select 'short' as measure, game, team, player,
    from exposure
    where status = 'short'
    union all
    select 'late' as measure, game, team, player,
    from weighed
    where first_kind = 'late_weigh'
    union all
    select rule as measure, game, team, player,
    from finding
    where team is not null and player is not null
),

of_player as (
    select
        concerned.player,
        max(row(game.kickoff_at, concerned.game, concerned.team)) as latest,
    from concerned
    left join game on concerned.game = game.game
    group by concerned.player
),

final as (
    select
        concerned.measure,
        of_player.latest[3] as team,
        count(distinct concerned.player) as children,
    from concerned
    inner join of_player using (player)
    group by concerned.measure, of_player.latest[3]
)

select * from final
order by measure, team
