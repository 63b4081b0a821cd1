-- purpose: the check weight, and how far off a reading of it may be
-- grain: one row
-- inputs: league
-- rule: the maintenance tolerance for class III at the load of the check weight,
--   in divisions of the scale (source: NIST Handbook 44 (2023) 2.20, Table 6 and
--   T.N.3.2, quoted)
-- columns: check_weight_clb, scale_division_clb, tolerance_clb
select
    check_weight_clb,
    scale_division_clb,
    scale_division_clb * case
        when check_weight_clb <= 500 * scale_division_clb then 1
        when check_weight_clb <= 2000 * scale_division_clb then 2
        when check_weight_clb <= 4000 * scale_division_clb then 3
        else 5
    end as tolerance_clb,
from league
