-- purpose: more weighs on the scale than the league allows
-- grain: one row per game, team and player
-- inputs: weighing, league
-- rule: a player has so many attempts as the league says (common practice, no
--   source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: site_official
with final as (
    select
        game,
        team,
        player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        list(position order by position) as positions,
        format(
            'Weighed {} times; the league allows {}.',
            count(*), any_value(attempts)
        ) as detail,
    from weighing
    cross join league
    where is_scale
    group by game, team, player
    having count(*) > any_value(attempts)
)

select * from final
order by game, team, player
