-- purpose: a statement entered long after it happened
-- grain: one row per statement
-- inputs: statement, game, league
-- procedure: a statement is entered within the league's number of minutes;
--   training is entered when the office hears of it
-- source: common practice
-- about: season
-- area: entries
-- sentence: An entry was written down long after it happened.
-- events: any
-- look: registrar
-- reason: other
-- columns: game, happened_at, positions, detail
with late as (
    select
        *,
        date_diff('minute', happened_at, entered_at) as minutes,
    from statement
),

final as (
    select
        late.game,
        late.happened_at,
        [late.position] as positions,
        format(
            'Written down {} after it happened.',
            case
                when late.minutes < 2 * 60 then late.minutes || ' minutes'
                when late.minutes < 2 * 24 * 60
                    then late.minutes // 60 || ' hours'
                else late.minutes // (24 * 60) || ' days'
            end
        ) as detail,
    from late
    cross join league
    anti join (select game from game where is_off) as off_game
        on late.game = off_game.game
    where
        late.kind != 'trained'
        and late.entered_at
        > late.happened_at + to_minutes(league.entered_late_after_min)
)

select * from final
order by game nulls last, positions
