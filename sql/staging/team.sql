-- purpose: teams, their division and association
-- grain: one row per team
-- inputs: table_row
-- rule: teams.csv, as corrected
-- columns: team, division, association
select
    team,
    data.division as division,
    data.association as association,
from table_row
where kind = 'team'
order by team
