-- purpose: what was said and done about a case, in plain words
-- grain: one row per statement about a case or withdrawal of one, withdrawn
--   ones too
-- inputs: statements, case_part, capacity, authority, subject
-- rule: in the order in which things happened; has_authority is null except for
--   rulings that count
-- columns: case_id, event_id, kind, happened_at, entered_at, recorded_at, by,
--   roles, capacity, what, value, to_role, game, team, player, number,
--   may_play, may_carry, has_authority,
--   is_role_later, withdrawn_by
with worded as (
    select
        statements.*,
        case_part.case_id as of_case,
        authority.has_authority,
        coalesce(subject.number, statements.number) as worn,
        case statements.may_play
            when 'full' then 'may play'
            when 'second_half' then 'may play in the second half'
            when 'none' then 'does not play'
        end as play_words,
        case statements.may_carry
            when 'yes' then 'may carry'
            when 'no' then 'does not carry'
        end as carry_words,
        concat_ws(
            ' ',
            statements.team,
            coalesce(worn::varchar, statements.player),
            'in ' || statements.game
        ) as whom,
    from case_part
    inner join statements on case_part.event_id = statements.event_id
    left join authority
        on statements.position = authority.position
        and statements.withdrawn_by is null
    left join subject
        on statements.game = subject.game
        and statements.team = subject.team
        and statements.player = subject.player
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
            when 'ruling'
                then
                    'Ruled: ' || value || coalesce(
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
    coalesce(capacity.roles, []) as roles,
    coalesce(capacity.capacity, '') as capacity,
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
    final.is_role_later,
    final.withdrawn_by,
from final
left join capacity
    on final.of_case = capacity.case_id
    and final.event_id = capacity.event_id
order by final.of_case, final.happened_at, final.position
