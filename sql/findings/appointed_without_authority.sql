-- purpose: an appointment by someone who may not appoint to that role
-- grain: one row per appointment
-- inputs: statement, confirmation, game
-- procedure: registrars and the presidents of associations and divisions
--   appoint to any role; site officials and board members appoint weighmasters
--   and play counters; each must hold that role with authority, and nobody
--   appoints themselves
-- source: common practice
-- about: season
-- area: entries
-- sentence: Someone gave out a role without the authority to.
-- events: appoint
-- look: registrar
-- reason: other
-- columns: game, happened_at, positions, detail
with final as (
    select
        statement.game,
        statement.happened_at,
        [statement.position] as positions,
        case
            when statement.stated_by = confirmation.official
                then format(
                    '{} appointed themselves{}.',
                    statement.stated_by,
                    coalesce(
                        format('; {} confirmed it', confirmation.confirmed_by),
                        ''
                    )
                )
            else format(
                '{} {} {} as {}; {}.',
                statement.stated_by,
                case
                    when confirmation.is_at_table then 'let in' else 'appointed'
                end,
                confirmation.official,
                replace(confirmation.role, '_', ' '),
                coalesce(
                    format('{} confirmed it', confirmation.confirmed_by),
                    'nobody who appoints has confirmed it'
                )
            )
        end as detail,
    from statement
    inner join confirmation on statement.position = confirmation.position
    anti join (select game from game where is_off) as off_game
        on statement.game = off_game.game
)

select * from final
order by game nulls last, positions
