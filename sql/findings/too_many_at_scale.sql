-- purpose: more weighmasters of a team at the scale than the league allows
-- grain: one row per game and team
-- inputs: scale_duty, side_role, role, league
-- procedure: a team has no more of its own weighmasters at the scale than the
--   league allows; board members and presidents who coach neither team do not
--   count
-- source: common practice
-- about: game
-- area: people
-- sentence: A team had more weighmasters at the scale than the league allows.
-- events: at_scale
-- look: site_official
-- reason: weigh
-- columns: game, team, positions, detail
with coaching as (
    select distinct game, official,
    from side_role
    where role = 'coach'
),

presiding as (
    select distinct scale_duty.game, role.official,
    from scale_duty
    inner join role
        on scale_duty.official = role.official
        and coalesce(role.game = scale_duty.game, true)
    where role.role in (
        'board_member', 'association_president', 'division_president'
    )
),

counted as (
    select scale_duty.*,
    from scale_duty
    left join presiding
        on scale_duty.game = presiding.game
        and scale_duty.official = presiding.official
    left join coaching
        on scale_duty.game = coaching.game
        and scale_duty.official = coaching.official
    where
        scale_duty.is_own_weighmaster
        and (presiding.official is null or coaching.official is not null)
),

final as (
    select
        game,
        team,
        list(position order by position) as positions,
        format(
            '{} weighmasters of the team at the scale; {} are allowed.',
            count(distinct official), any_value(max_weighmasters_per_team)
        ) as detail,
    from counted
    cross join league
    group by game, team
    having count(distinct official) > any_value(max_weighmasters_per_team)
)

select * from final
order by game, team
