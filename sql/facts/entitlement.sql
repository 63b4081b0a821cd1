-- purpose: who may play and carry by rules 1 to 3, before any ruling
-- grain: one row per game, team and player
-- inputs: subject, side, weighed, listing, half_end, mark, league
-- rule: (1) without a presentation nobody plays, except players declared over;
--   (2) on-time players play in full, late ones as the league chooses, never
--   after half 1; (3) the weigh that counts says who carries, or the book's
--   mark without a scale
-- columns: game, team, player, number, is_on_roster, may_play, may_carry, basis, listed,
--   positions
with standing as (
    select
        game,
        team,
        player,
        list(distinct reason order by reason) as reasons,
        list(position) as positions,
    from listing
    where is_standing
    group by game, team, player
),

book as (
    select
        side.game,
        mark.player,
        arg_min(mark.value, mark.happened_rank) as value,
        arg_min(mark.position, mark.happened_rank) as position,
    from weighed
    inner join side on weighed.game = side.game and weighed.team = side.team
    inner join mark
        on side.division = mark.division
        and weighed.player = mark.player
        and mark.kickoff_at < side.kickoff_at
    where weighed.counts_value = 'no_scale'
    group by side.game, mark.player
),

gathered as (
    select
        subject.*,
        weighed.first_kind,
        weighed.counts_kind,
        weighed.counts_value,
        coalesce(half_end.ended_at < weighed.first_at, false) as is_after_half,
        book.value as mark,
        coalesce(standing.reasons, []) as listed,
        league.declared_over_may_skip_scale
        and list_contains(coalesce(standing.reasons, []), 'over')
            as is_declared,
        list_filter(
            [
                weighed.first_position,
                weighed.counts_position,
                book.position,
                case when is_after_half then half_end.position end,
            ]
            || coalesce(standing.positions, []),
            lambda position: position is not null
        ) as positions,
        league.late_players,
    from subject
    cross join league
    left join weighed using (game, team, player)
    left join half_end on subject.game = half_end.game and half_end.half = 1
    left join standing using (game, team, player)
    left join book
        on subject.game = book.game
        and subject.player = book.player
        and weighed.counts_value = 'no_scale'
),

final as (
    select
        game,
        team,
        player,
        number,
        is_on_roster,
        case
            when first_kind is null and is_declared then 'full'
            when first_kind is null then 'none'
            when first_kind = 'weigh' then 'full'
            when is_after_half then 'none'
            when late_players = 'whole_game' then 'full'
            else late_players
        end as may_play,
        case
            when first_kind is null then 'no'
            when counts_value = 'ok' then 'yes'
            when counts_value = 'over' then 'no'
            when mark = 'ok' then 'yes'
            when mark = 'over' then 'no'
            else 'undecided'
        end as may_carry,
        case
            when first_kind is null and is_declared then 'declared'
            when first_kind is null then 'none'
            when counts_value = 'no_scale' then 'book'
            when counts_kind = 'weigh' then 'scale'
            else 'late_scale'
        end as basis,
        listed,
        positions,
    from gathered
)

select * from final
order by game, team, player
