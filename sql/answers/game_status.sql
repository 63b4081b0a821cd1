-- purpose: each game as it stands: when, where, weighed and signed
-- grain: one row per game, games that are off too
-- inputs: game, table_row, side, roster, weighed, signature
-- rule: weighed counts players of the roster at kickoff; a signature counts once
--   for each list and side, of two lists and two sides
-- columns: game, kickoff_at, scheduled_at, site, home, visitor, is_off, home_roster, home_weighed,
--   visitor_roster, visitor_weighed, signatures
with counted as (
    select
        side.game,
        side.team,
        count(distinct roster.player) as roster,
        count(distinct weighed.player) as weighed,
    from side
    left join roster on side.game = roster.game and side.team = roster.team
    left join weighed
        on roster.game = weighed.game
        and roster.team = weighed.team
        and roster.player = weighed.player
    group by side.game, side.team
),

signed as (
    select game, count(distinct team || ' ' || side) as signatures
    from signature
    group by game
),

final as (
    select
        game.game,
        game.kickoff_at,
        table_row.data.kickoff as scheduled_at,
        game.site,
        game.home,
        game.visitor,
        game.is_off,
        coalesce(home.roster, 0) as home_roster,
        coalesce(home.weighed, 0) as home_weighed,
        coalesce(visitor.roster, 0) as visitor_roster,
        coalesce(visitor.weighed, 0) as visitor_weighed,
        coalesce(signed.signatures, 0) as signatures,
    from game
    inner join table_row
        on game.game = table_row.game and table_row.kind = 'game'
    left join counted as home
        on game.game = home.game and game.home = home.team
    left join counted as visitor
        on game.game = visitor.game and game.visitor = visitor.team
    left join signed on game.game = signed.game
)

select * from final
order by kickoff_at, game
