-- purpose: every statement that puts a player on a roster, takes one off, or gives a number
-- grain: one row per move
-- inputs: table_row, statement
-- rule: players.csv is an add at the beginning; enter_player with team and number is an add
-- columns: team, player, moved_at, move_rank, joins, number, position
with at_the_beginning as (
    select
        team,
        player,
        '-infinity'::timestamp as moved_at,
        0 as move_rank,
        true as joins,
        data.number as number,
        position,
    from table_row
    where kind = 'player' and team is not null
),

later as (
    select
        team,
        player,
        happened_at as moved_at,
        happened_rank as move_rank,
        case
            when kind in ('roster_add', 'enter_player') then true
            when kind = 'roster_drop' then false
        end as joins,
        case when kind != 'roster_drop' then data.number end as number,
        position,
    from statement
    where
        kind in ('roster_add', 'roster_drop', 'number_change', 'enter_player')
        and team is not null
)

select * from at_the_beginning
union all
select * from later
order by team, player, move_rank
