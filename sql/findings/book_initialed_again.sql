-- purpose: another initial for a player, in a later game than the first
-- grain: one row per initial of a player
-- inputs: mark
-- procedure: a player's first initial in a division counts; later games get
--   none
-- source: common practice
-- about: child
-- area: book
-- sentence: The book was initialed again after a child's first game.
-- events: initial
-- look: weighmasters, division_president
-- reason: weigh
-- columns: game, team, player, happened_at, positions, detail
with first_mark as (
    select
        division,
        player,
        arg_min(kickoff_at, happened_rank) as kickoff_at,
    from mark
    group by division, player
),

final as (
    select
        mark.game,
        mark.team,
        mark.player,
        mark.happened_at,
        [mark.position] as positions,
        'The book already has a mark from an earlier game.' as detail,
    from mark
    inner join first_mark using (division, player)
    where not mark.is_off and mark.kickoff_at > first_mark.kickoff_at
)

select * from final
order by game, team, player, positions
