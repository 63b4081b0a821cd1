-- purpose: a weigh before the weigh-in opens
-- grain: one row per game and team
-- inputs: weighing, league
-- rule: the weigh-in opens so many minutes before kickoff as the league says;
--   late weighs are aside (common practice, no source)
-- columns: game, team, player, official, side, case_id, happened_at, positions,
--   detail
-- look: site_official
with final as (
    select
        game,
        team,
        null::varchar as player,
        null::varchar as official,
        null::varchar as side,
        null::varchar as case_id,
        null::timestamp as happened_at,
        list(position order by position) as positions,
        format(
            'Weighs more than {} minutes before kickoff: {}.',
            any_value(opens_before_kickoff_min), count(*)
        ) as detail,
    from weighing
    cross join league
    where
        kind = 'weigh'
        and happened_at < kickoff_at - to_minutes(opens_before_kickoff_min)
    group by game, team
)

select * from final
order by game, team
