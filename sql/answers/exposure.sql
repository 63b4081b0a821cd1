-- purpose: which players had the plays due to them
-- grain: one row per game, team and player
-- inputs: play_right, play_count, statement, game, league
-- rule: the minimum depends on how many of the team's players may play; for a
--   player of the second half only halves 2 and 3 count; an excuse releases the
--   player
-- columns: game, team, player, number, may_play, required, recorded, short,
--   status
with step as (
    select
        unnest(
            coalesce(by_squad_size, [{ up_to: null, minimum: minimum }]),
            recursive := true
        ),
    from league
),

squad as (
    select
        game,
        team,
        count(*) filter (where may_play != 'none') as players,
    from play_right
    group by game, team
),

due as (
    select
        squad.game,
        squad.team,
        first(step.minimum order by step.up_to nulls last) as required,
    from squad
    inner join step on coalesce(squad.players <= step.up_to, true)
    group by squad.game, squad.team
),

counted_team as (
    select distinct game, team,
    from play_count
),

tally as (
    select
        play_right.game,
        play_right.team,
        play_right.player,
        coalesce(sum(play_count.plays), 0)::integer as plays,
    from play_right
    left join play_count
        on play_right.game = play_count.game
        and play_right.team = play_count.team
        and play_right.player = play_count.player
        and (play_right.may_play != 'second_half' or play_count.half > 1)
    group by play_right.game, play_right.team, play_right.player
),

excused as (
    select distinct game, team, player,
    from statement
    where kind = 'excuse'
),

final as (
    select
        play_right.*,
        due.required,
        case when counted_team.game is not null then tally.plays end
            as recorded,
        case
            when play_right.may_play = 'none' then 'not_required'
            when excused.game is not null then 'excused'
            when recorded is null then 'uncounted'
            when recorded >= due.required then 'met'
            else 'short'
        end as status,
        case
            when status != 'not_required' and recorded is not null
                then greatest(0, due.required - recorded)
        end as short,
        game.kickoff_at,
    from play_right
    inner join due using (game, team)
    inner join tally using (game, team, player)
    left join counted_team using (game, team)
    left join excused using (game, team, player)
    inner join game on play_right.game = game.game
)

select game, team, player, number, may_play, required, recorded, short, status
from final
where coalesce(game = getvariable('game'), true)
order by kickoff_at, game, team, number nulls last, player
