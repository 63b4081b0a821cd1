-- purpose: players on the roster without a mark in the book from an earlier game
-- grain: one row per game and team
-- inputs: side, roster, mark
-- rule: if the scale is out, the mark in the book decides; a player without one
--   has nothing to fall back on. A team's first game is left out: hardly anybody can have one
-- columns: game, team, detail
with counted as (
    select
        side.game,
        side.team,
        count(*) as players,
        count(*) filter (where marked.player is null) as unmarked,
        string_agg(
            coalesce(roster.number::varchar, roster.player),
            ', ' order by roster.number nulls last, roster.player
        ) filter (where marked.player is null) as who,
    from side
    inner join roster using (game, team)
    left join (
        select division, player, min(kickoff_at) as kickoff_at
        from mark
        group by division, player
    ) as marked
        on side.division = marked.division
        and roster.player = marked.player
        and side.kickoff_at > marked.kickoff_at
    group by side.game, side.team
),

final as (
    select
        game,
        team,
        case
            when unmarked = players
                then 'Nobody on the roster has a mark in the book yet.'
            else format('No mark in the book yet: {}.', who)
        end as detail,
    from counted
    where
        unmarked > 0
        and exists (
            from side as earlier
            inner join side using (team)
            where
                side.game = counted.game
                and side.team = counted.team
                and earlier.kickoff_at < side.kickoff_at
        )
)

select * from final
order by game, team
