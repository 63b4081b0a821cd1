-- purpose: every event that was read, with its JSON unpacked into typed columns
-- grain: one row per event; filtered by as_of (entered) and known_at (recorded)
-- inputs: (the file of events that the engine names)
-- rule: as_of goes by entered, which the setup lacks, corrections aside: it always
--   counts; known_at goes by recorded, for the setup too; position is the place in
--   ledger order: by clock (recorded, or the latest before it in the chain),
--   chain, seq
-- columns: position, event_id, chain, seq, kind, happened_at, entered_at, recorded_at, stated_by,
--   game, team, player, target_id, data
with unpacked as (
    select
        clock,
        unnest(event),
    from read_ndjson(
        getvariable('events_file'),
        columns = {
            clock: 'varchar',
            event: 'struct(
                chain varchar, seq bigint, kind varchar, "at" timestamp,
                entered timestamp, recorded timestamp, "by" varchar,
                game varchar, team varchar, player varchar,
                data struct(
                    number integer, value varchar, reason varchar,
                    half integer, count integer, reading_clb bigint,
                    limit_clb bigint, initials varchar, "case" varchar,
                    "to" varchar, may_play varchar, may_carry varchar,
                    kickoff timestamp, site varchar, target varchar,
                    corrects varchar, division varchar, association varchar, name varchar,
                    carrier_limit_clb bigint, official varchar, role varchar,
                    home varchar, visitor varchar, how varchar,
                    scan varchar, form integer, list varchar,
                    source struct(file varchar),
                    others map(varchar, struct(size bigint)),
                    time_zone varchar,
                    weigh_in struct(
                        opens_before_kickoff_min bigint,
                        first_to_weigh varchar, attempts integer,
                        late_players varchar, check_weight_clb bigint,
                        scale_division_clb bigint,
                        max_weighmasters_per_team integer,
                        entered_late_after_min bigint,
                        declared_over_may_skip_scale boolean,
                        training_valid_days integer,
                        limit_allowance struct("from" date, clb bigint)[]
                    ),
                    plays struct(
                        minimum integer,
                        by_squad_size struct(up_to integer, minimum integer)[]
                    ),
                    reviews struct(
                        roster varchar[], other varchar[],
                        protest_within_hours bigint, decide_within_days bigint
                    )
                )
            )'
        }
    )
),

final as (
    select
        row_number() over (order by clock, chain, seq) as position,
        chain || ':' || seq as event_id,
        chain,
        seq,
        kind,
        "at" as happened_at,
        entered as entered_at,
        recorded as recorded_at,
        "by" as stated_by,
        game,
        team,
        player,
        data.target as target_id,
        data,
    from unpacked
    where
        coalesce(entered <= getvariable('as_of'), true)
        and coalesce(recorded <= getvariable('known_at'), true)
)

select * from final
order by position
