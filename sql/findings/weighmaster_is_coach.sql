-- purpose: someone who worked at the weigh-in coaches one of the two teams
-- grain: one row per game and official
-- inputs: statement, side_role
-- procedure: people who weigh, initial or stand at the scale in a game coach
--   neither of its teams
-- source: common practice
-- about: game
-- area: people
-- sentence: A coach of one of the two teams worked at the weigh-in.
-- events: weigh, late_weigh, initial, at_scale
-- look: site_official
-- reason: weigh
-- columns: game, official, positions, detail
with final as (
    select
        statement.game,
        statement.stated_by as official,
        list(distinct statement.position order by statement.position)
            as positions,
        'A coach of one of the teams worked at this weigh-in.' as detail,
    from statement
    inner join side_role
        on statement.game = side_role.game
        and statement.stated_by = side_role.official
        and side_role.role = 'coach'
    where statement.kind in ('weigh', 'late_weigh', 'initial', 'at_scale')
    group by statement.game, statement.stated_by
)

select * from final
order by game, official
