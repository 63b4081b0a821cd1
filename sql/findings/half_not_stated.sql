-- purpose: the end of the first half was not entered, and it matters for a late
--   player
-- grain: one row per game
-- inputs: weighing, half_end, play_count
-- procedure: if anyone was weighed late, and half 2 or plays of half 2 were
--   entered, the end of half 1 is entered too
-- source: common practice
-- about: game
-- area: late
-- sentence: Nobody entered the end of the first half, and a late child's game
--   depends on it.
-- events: late_weigh
-- look: head_official
-- reason: weigh
-- columns: game, positions, detail
with second_half as (
    select game from half_end where half = 2
    union
    select game from play_count where half = 2
),

final as (
    select
        weighing.game,
        list(weighing.position order by weighing.position) as positions,
        'Weighed late. Enter when the first half ended.' as detail,
    from weighing
    semi join second_half on weighing.game = second_half.game
    anti join (select game from half_end where half = 1) as first_half
        on weighing.game = first_half.game
    where weighing.kind = 'late_weigh'
    group by weighing.game
)

select * from final
order by game
