-- purpose: a check of the scale that did not pass
-- grain: one row per station
-- inputs: station
-- procedure: the reading differs from the check weight by no more than the
--   maintenance tolerance for class III
-- source: NIST Handbook 44 (2023) 2.20, Table 6 and T.N.3.2, quoted
-- about: scale
-- area: scale
-- sentence: The scale did not pass its check.
-- events: station
-- look: site_official
-- reason: weigh
-- columns: game, happened_at, positions, detail
with final as (
    select
        game,
        happened_at,
        [position] as positions,
        format(
            'Read {} lb with a {} lb check weight; {} lb off is allowed.',
            reading_clb / 100, check_weight_clb / 100, tolerance_clb / 100
        ) as detail,
    from station
    where not is_passing
)

select * from final
order by game, positions
