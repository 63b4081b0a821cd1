-- purpose: the league's choices, as league.toml gave them, with every default
--   filled in
-- grain: one row
-- inputs: table_row
-- rule: rules apply for a whole season; a correction counts for all of it
-- columns: time_zone, opens_before_kickoff_min, first_to_weigh, attempts, late_players,
--   check_weight_clb, scale_division_clb, max_weighmasters_per_team, entered_late_after_min,
--   declared_over_may_skip_scale, training_valid_days, limit_allowance, minimum, by_squad_size,
--   roster_reviewers, other_reviewers, protest_within_hours, decide_within_days
with final as (
    select
        data.time_zone as time_zone,
        unnest(data.weigh_in),
        data.plays.minimum as minimum,
        data.plays.by_squad_size as by_squad_size,
        data.reviews.roster as roster_reviewers,
        data.reviews.other as other_reviewers,
        data.reviews.protest_within_hours as protest_within_hours,
        data.reviews.decide_within_days as decide_within_days,
    from table_row
    where kind = 'league'
)

select
    time_zone,
    opens_before_kickoff_min,
    first_to_weigh,
    attempts,
    late_players,
    check_weight_clb,
    scale_division_clb,
    max_weighmasters_per_team,
    entered_late_after_min,
    declared_over_may_skip_scale,
    coalesce(training_valid_days, 0) as training_valid_days,
    limit_allowance,
    minimum,
    by_squad_size,
    roster_reviewers,
    other_reviewers,
    protest_within_hours,
    decide_within_days,
from final
