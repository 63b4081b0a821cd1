-- purpose: a team's book of first-game marks
-- grain: one row per player on the team's roster after all its statements
-- inputs: team, roster_move, mark
-- rule: a player's first initial in a game of the team's division counts, for
--   any team; later ones never replace it
-- columns: team, player, number, game, mark, initials, by, at
with members as (
    select
        team,
        player,
        arg_max(joins, move_rank) filter (where joins is not null) as is_on,
        arg_max(number, move_rank) filter (where number is not null) as number,
    from roster_move
    group by team, player
),

first_mark as (
    select division, player, min(happened_rank) as happened_rank
    from mark
    group by division, player
),

final as (
    select
        members.team,
        members.player,
        members.number,
        mark.game,
        mark.value as mark,
        mark.initials,
        mark.stated_by as "by",
        mark.happened_at as "at",
    from members
    inner join team on members.team = team.team
    left join first_mark
        on team.division = first_mark.division
        and members.player = first_mark.player
    left join mark on first_mark.happened_rank = mark.happened_rank
    where members.is_on
)

select team, player, number, game, mark, initials, "by", "at"
from final
where coalesce(team = getvariable('team'), true)
order by team, number nulls last, player
