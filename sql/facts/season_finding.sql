-- purpose: the findings, each with the teams whose games or whose step it is
-- grain: one row per finding and team; one with a null team where it has none
-- inputs: finding, side
-- rule: the step is that of the side that did not sign, else of the team that is
--   named; one that names no team is of the whole game and goes with both sides
-- columns: finding_id, rule, game, team, is_shared, is_about_player
with numbered as (
    select
        row_number() over (
            order by
                rule, game, team, player, official, side, case_id,
                happened_at, list_sort(positions)
        ) as finding_id,
        *,
    from finding
),

final as (
    select
        numbered.finding_id,
        numbered.rule,
        numbered.game,
        coalesce(numbered.side, numbered.team, side.team) as team,
        coalesce(numbered.side, numbered.team) is null as is_shared,
        numbered.player is not null as is_about_player,
    from numbered
    left join side
        on numbered.game = side.game
        and coalesce(numbered.side, numbered.team) is null
)

select * from final
order by finding_id, team
