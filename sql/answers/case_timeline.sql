-- purpose: what was said and done about a case, in plain words
-- grain: one row per statement about a case or withdrawal of one, the withdrawn
--   ones too
-- inputs: told, authority, role, subject
-- rule: in the order in which it happened; roles as officials.csv and appoint
--   have them, whenever appointed; has_authority is null but for rulings that
--   count
-- columns: case_id, event_id, kind, happened_at, entered_at, recorded_at, by,
--   roles, capacity, what, value, to_role, game, team, player, number,
--   may_play, may_carry, has_authority, withdrawn_by
with recursive part as (
    select case_id, event_id,
    from told
    where case_id is not null
    union
    select part.case_id, told.event_id,
    from part
    inner join told on part.event_id = told.target_id
),

office as (
    select
        official,
        list(distinct role order by role) as roles,
        string_agg(
            replace(role, '_', ' ') || coalesce(' of ' || team, ''), ', '
            order by role, team
        ) as capacity,
    from role
    group by official
),

worded as (
    select
        told.*,
        part.case_id as of_case,
        authority.has_authority,
        coalesce(subject.number, told.number) as worn,
        case told.may_play
            when 'full' then 'may play'
            when 'second_half' then 'may play in the second half'
            when 'none' then 'does not play'
        end as play_words,
        case told.may_carry
            when 'yes' then 'may carry'
            when 'no' then 'does not carry'
        end as carry_words,
        concat_ws(
            ' ',
            told.team,
            coalesce(worn::varchar, told.player),
            'in ' || told.game
        ) as whom,
    from part
    inner join told on part.event_id = told.event_id
    left join authority on told.position = authority.position
    left join subject
        on told.game = subject.game
        and told.team = subject.team
        and told.player = subject.player
),

final as (
    select
        worded.*,
        case kind
            when 'case_open' then 'Opened'
            when 'case_refer'
                then 'Passed to the ' || replace(to_role, '_', ' ')
            when 'case_statement' then 'Said'
            when 'case_exhibit' then 'Handed in a file'
            when 'ruling' then 'Ruled: ' || value || coalesce(
                '. ' || whom || ' ' || nullif(
                    concat_ws(' and ', play_words, carry_words), ''
                ),
                ''
            )
            when 'case_close' then 'Closed'
            when 'withdraw' then 'Withdrew ' || target_id
        end as what,
    from worded
)

select
    final.of_case as case_id,
    final.event_id,
    final.kind,
    final.happened_at,
    final.entered_at,
    final.recorded_at,
    final.stated_by as "by",
    coalesce(office.roles, []) as roles,
    coalesce(office.capacity, '') as capacity,
    final.what,
    final.value,
    final.to_role,
    final.game,
    final.team,
    final.player,
    final.worn as number,
    final.may_play,
    final.may_carry,
    final.has_authority,
    final.withdrawn_by,
from final
left join office on final.stated_by = office.official
order by final.of_case, final.happened_at, final.position
