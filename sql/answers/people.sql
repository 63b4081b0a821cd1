-- purpose: officials with their training and their work at weigh-ins
-- grain: one row per official with a role
-- inputs: role, training, weigh_in_work
-- rule: training counts as someone else entered it, the one valid longest;
--   assigned and worked count games that are played
-- columns: official, trained_at, trained_until, assigned, worked
with trained as (
    select
        official,
        max(trained_at) as trained_at,
        max(valid_until) as valid_until,
    from training
    group by official
),

done as (
    select
        official,
        count(distinct game) filter (where is_assigned) as assigned,
        count(distinct game) filter (where is_at_scale) as worked,
    from weigh_in_work
    group by official
),

final as (
    select distinct
        role.official,
        trained.trained_at,
        trained.valid_until as trained_until,
        coalesce(done.assigned, 0) as assigned,
        coalesce(done.worked, 0) as worked,
    from role
    left join trained on role.official = trained.official
    left join done on role.official = done.official
)

select * from final
order by official
