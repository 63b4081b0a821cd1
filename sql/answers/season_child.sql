-- purpose: how many children on a team each measure concerns; no child is named
-- grain: one row per measure and team
-- inputs: exposure, weighed, finding
-- rule: due counts children with plays due in some game, short those who had
--   fewer, late those presented late; each other measure is a rule with a
--   finding about the child; a child on two teams counts for both
-- columns: measure, team, children
with concerned as (
    select 'due' as measure, team, player,
    from exposure
    where status != 'not_required'
    union
    select 'short' as measure, team, player,
    from exposure
    where status = 'short'
    union
    select 'late' as measure, team, player,
    from weighed
    where first_kind = 'late_weigh'
    union
    select rule as measure, team, player,
    from finding
    where team is not null and player is not null
)

select measure, team, count(*) as children,
from concerned
group by measure, team
order by measure, team
