-- purpose: divisions and their carrier limits
-- grain: one row per division
-- inputs: event
-- rule: divisions.csv
-- columns: division, carrier_limit_clb
select
    data.division as division,
    data.carrier_limit_clb as carrier_limit_clb,
from event
where kind = 'division'
order by division
