-- purpose: the team that weighs second began before the first team was done
-- grain: one row per game
-- inputs: weighing, listing, side, league
-- procedure: the league says who weighs first; late weighs do not count, nor do
--   weighs of players listed absent or equipment by then, struck off or not
-- source: common practice
-- about: game
-- area: order
-- sentence: The second team began before the first was done.
-- events: weigh
-- look: site_official
-- reason: weigh
-- columns: game, positions, detail
with set_aside as (
    select weighing.position,
    from weighing
    inner join listing using (game, team, player)
    where
        listing.reason in ('absent', 'equipment')
        and listing.listed_at <= weighing.happened_at
),

in_turn as (
    select
        weighing.game,
        weighing.player,
        weighing.position,
        weighing.happened_at,
        side.is_visitor = (league.first_to_weigh = 'visitors') as is_first,
    from weighing
    inner join side using (game, team)
    cross join league
    anti join set_aside on weighing.position = set_aside.position
    where weighing.kind = 'weigh' and league.first_to_weigh != 'either'
),

first_team as (
    select game, max(happened_at) as done_at,
    from in_turn
    where is_first
    group by game
),

final as (
    select
        in_turn.game,
        list(in_turn.position order by in_turn.position) as positions,
        format(
            '{} weighed before the first team was done.',
            if(
                count(distinct in_turn.player) = 1,
                '1 child was',
                count(distinct in_turn.player) || ' children were'
            )
        ) as detail,
    from in_turn
    inner join first_team using (game)
    where not in_turn.is_first and in_turn.happened_at < first_team.done_at
    group by in_turn.game
)

select * from final
order by game
