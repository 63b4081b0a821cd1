-- purpose: the rulings that say who may play or carry, by somebody with authority
-- grain: one row per such ruling
-- inputs: statement, role, league
-- rule: `by` holds a role of the league's reviewers for the reason of the ruling's case_open
--   (roster, else other)
-- columns: game, team, player, position, entered_rank, happened_at, may_play, may_carry
with opened as (
    select
        data."case" as case_id,
        case
            when data.reason = 'roster' then league.roster_reviewers
            else league.other_reviewers
        end as reviewers,
    from statement
    cross join league
    where kind = 'case_open'
),

final as (
    select
        statement.game,
        statement.team,
        statement.player,
        statement.position,
        statement.entered_rank,
        statement.happened_at,
        statement.data.may_play as may_play,
        statement.data.may_carry as may_carry,
    from statement
    inner join opened on statement.data."case" = opened.case_id
    where
        statement.kind = 'ruling'
        and coalesce(statement.data.may_play, statement.data.may_carry)
            is not null
        and exists (
            select 1
            from role
            where
                role.official = statement.stated_by
                and list_contains(opened.reviewers, role.role)
        )
)

select * from final
order by position
