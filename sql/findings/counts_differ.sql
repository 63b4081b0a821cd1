-- purpose: two officials counted a player's plays differently
-- grain: one row per game, team and player
-- inputs: statement, side
-- rule: the latest entered counts of two officials for a half are the same
--   (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: head_official, division_president
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
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        flatten(list(positions order by half)) as positions,
        'Two officials have different counts of plays for a half.' as detail,
    from differing
    group by game, team, player
)

select * from final
order by game, team, player
