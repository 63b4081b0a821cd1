-- purpose: divisions and the limit of those who may carry the ball
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
