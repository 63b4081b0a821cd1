-- purpose: what an official was assigned to, and did, at each weigh-in
-- grain: one row per game that is played, team it was for, and official
-- inputs: statement, side
-- rule: counts statements that count; weighs, initials and listings are of that
--   team's players; is_at_scale means stood at the scale, weighed or initialed
-- columns: game, team, official, kickoff_at, is_assigned, is_at_scale, weighs,
--   initials, listings, signatures
with entry as (
    select
        game,
        team,
        kind,
        case when kind = 'assign' then data.value else stated_by end
            as official,
    from statement
    where
        kind in (
            'assign', 'at_scale', 'weigh', 'late_weigh', 'initial', 'list',
            'countersign'
        )
),

final as (
    select
        side.game,
        side.team,
        entry.official,
        side.kickoff_at,
        bool_or(kind = 'assign') as is_assigned,
        bool_or(kind in ('at_scale', 'weigh', 'late_weigh', 'initial'))
            as is_at_scale,
        count(*) filter (where kind in ('weigh', 'late_weigh')) as weighs,
        count(*) filter (where kind = 'initial') as initials,
        count(*) filter (where kind = 'list') as listings,
        count(*) filter (where kind = 'countersign') as signatures,
    from entry
    inner join side on entry.game = side.game and entry.team = side.team
    group by side.game, side.team, entry.official, side.kickoff_at
)

select * from final
order by kickoff_at, game, official, team
