-- purpose: a player was struck off the list before being weighed
-- grain: one row per strike_off of a player
-- inputs: statement, side, weighed
-- procedure: a player is weighed before being struck off
-- source: common practice
-- about: child
-- area: list
-- sentence: A child was struck off the list before being weighed.
-- events: strike_off
-- look: weighmasters
-- reason: weigh
-- right: may_play
-- columns: game, team, player, happened_at, positions, detail
with final as (
    select
        statement.game,
        statement.team,
        statement.player,
        statement.happened_at,
        [statement.position] as positions,
        'Struck off the list before any weigh.' as detail,
    from statement
    inner join side
        on statement.game = side.game and statement.team = side.team
    left join weighed
        on statement.game = weighed.game
        and statement.team = weighed.team
        and statement.player = weighed.player
    where
        statement.kind = 'strike_off'
        and coalesce(weighed.first_at > statement.happened_at, true)
)

select * from final
order by game, team, player, positions
