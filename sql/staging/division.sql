-- purpose: divisions and their carrier limits
-- grain: one row per division
-- inputs: table_row
-- rule: divisions.csv, as corrected
-- columns: division, carrier_limit_clb
select
    data.division as division,
    data.carrier_limit_clb as carrier_limit_clb,
from table_row
where kind = 'division'
order by division
