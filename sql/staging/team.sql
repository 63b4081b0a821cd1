-- purpose: teams, their division and association
-- grain: one row per team
-- inputs: event
-- rule: teams.csv
-- columns: team, division, association
select
    team,
    data.division as division,
    data.association as association,
from event
where kind = 'team'
order by team
