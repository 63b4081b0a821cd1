-- purpose: two officials counted a player's plays differently
-- grain: one row per game, team and player
-- inputs: statement, side
-- procedure: the latest counts that two officials entered for a half agree
-- source: common practice
-- about: child
-- area: plays
-- sentence: Two officials counted a child's plays differently.
-- events: plays
-- look: head_official, division_president
-- reason: plays
-- columns: game, team, player, positions, detail
with latest as (
    select
        statement.game,
        statement.team,
        statement.player,
        statement.data.half as half,
        statement.stated_by,
        arg_max(statement.data.count, statement.entered_rank) as plays,
        arg_max(statement.position, statement.entered_rank) as position,
    from statement
    inner join side
        on statement.game = side.game and statement.team = side.team
    where statement.kind = 'plays'
    group by all
),

differing as (
    select game, team, player, half, list(position) as positions,
    from latest
    group by game, team, player, half
    having min(plays) != max(plays)
),

final as (
    select
        game,
        team,
        player,
        flatten(list(positions order by half)) as positions,
        'Two officials entered different play counts for a half.' as detail,
    from differing
    group by game, team, player
)

select * from final
order by game, team, player
