-- purpose: officials' training as weighmasters, and until when it is valid
-- grain: one row per trained by someone other than the official
-- inputs: statement, league
-- rule: training is valid for the league's number of days of 24 hours; without
--   one (0) it stays valid
-- columns: official, position, trained_at, valid_until (null: it stays valid)
select
    statement.data.value as official,
    statement.position,
    statement.happened_at as trained_at,
    case
        when league.training_valid_days > 0
            then
                statement.happened_at
                + to_hours(24 * league.training_valid_days)
    end as valid_until,
from statement
cross join league
where
    statement.kind = 'trained' and statement.stated_by != statement.data.value
order by statement.position
