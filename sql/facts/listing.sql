-- purpose: the lines of the ineligible lists, standing or struck off
-- grain: one row per list statement of a game that is played
-- inputs: statement, game
-- rule: a listing stands unless a strike_off of its reason came since; a strike_off without a
--   reason crosses off absent and equipment
-- columns: game, team, player, reason, position, event_id, listed_at, listed_by, happened_rank,
--   entered_rank, entered_at, struck_rank, is_standing
with lists as (
    select statement.*, statement.data.reason as reason,
    from statement
    inner join game on statement.game = game.game
    where statement.kind = 'list' and not game.is_off
),

strikes as (
    select
        game,
        team,
        player,
        happened_rank,
        unnest(
            case
                when data.reason is null then ['absent', 'equipment']
                else [data.reason]
            end
        ) as reason,
    from statement
    where kind = 'strike_off'
),

final as (
    select
        lists.game,
        lists.team,
        lists.player,
        lists.reason,
        lists.position,
        any_value(lists.event_id) as event_id,
        any_value(lists.happened_at) as listed_at,
        any_value(lists.stated_by) as listed_by,
        any_value(lists.happened_rank) as happened_rank,
        any_value(lists.entered_rank) as entered_rank,
        any_value(lists.entered_at) as entered_at,
        min(strikes.happened_rank) as struck_rank,
        struck_rank is null as is_standing,
    from lists
    left join strikes
        on lists.game = strikes.game
        and lists.team = strikes.team
        and lists.player = strikes.player
        and lists.reason = strikes.reason
        and lists.happened_rank < strikes.happened_rank
    group by
        lists.game, lists.team, lists.player, lists.reason, lists.position
)

select * from final
order by position
