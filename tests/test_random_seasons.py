"""Random seasons are such as a ledger accepts, and small failing ones can be found in them."""

from __future__ import annotations

import hashlib

from hypothesis import given, settings

from tests.random_seasons import (
    Event,
    as_of_moments,
    faults,
    random_season,
    seasons,
    smallest,
)
from tests.random_seasons.chain import canonical
from tests.reference.state import Season
from tests.reference_rules import RULE_NAMES, eligibility, findings

SEEDS = range(60)


@settings(max_examples=25, deadline=None)
@given(seasons())
def test_what_is_named_is_known_before(events: list[Event]) -> None:
    assert faults(events) == []
    assert findings(events, as_of=as_of_moments(events)[0]) == findings(
        [event for event in events if "at" not in event]
    )


def test_a_number_given_is_theirs_on_the_roster_as_accepted_by_then() -> None:
    looked_at = 0
    for seed in SEEDS:
        events = random_season(seed)
        for place, event in enumerate(events):
            gives_number = "game" in event and "number" in event["data"]
            if gives_number and not event["player"].startswith("unlisted-"):
                then = Season(events[:place])
                roster = then.roster_at_kickoff(then.games[event["game"]], event["team"])
                assert roster[event["player"]] == event["data"]["number"], (seed, place)
                looked_at += 1
    assert looked_at > 200


def test_each_chain_is_linked_and_recorded_rises() -> None:
    for seed in SEEDS:
        events = random_season(seed)
        heads: dict[str, tuple[int, str]] = {}
        for event in events:
            seq, prev = heads.get(event["chain"], (0, "0" * 64))
            assert (event["seq"], event["prev"]) == (seq + 1, prev)
            heads[event["chain"]] = (seq + 1, hashlib.sha256(b"\0" + canonical(event)).hexdigest())
        recorded = [event["recorded"] for event in events]
        assert recorded == sorted(set(recorded))


def test_fewer_statements_are_the_beginning_of_the_same_season() -> None:
    whole, part = random_season(7, 60), random_season(7, 20)
    assert whole[: len(part)] == part


def test_every_rule_and_basis_turns_up() -> None:
    rules, bases = set(), set()
    for seed in range(150):
        events = random_season(seed)
        rules |= {row["rule"] for row in findings(events)}
        bases |= {row["basis"] for row in eligibility(events)}
    assert rules == set(RULE_NAMES)
    assert bases == {"none", "declared", "scale", "late_scale", "book", "ruling"}


def test_the_smallest_season_that_still_fails() -> None:
    """A noncarrier without a stripe needs a weigh; who and where it names; nothing else."""

    def fails(events: list[Event]) -> bool:
        return any(row["rule"] == "noncarrier_not_striped" for row in findings(events))

    events = next(season for season in map(random_season, SEEDS) if fails(season))
    small = smallest(events, fails)
    assert fails(small)
    assert faults(small) == []
    assert len([event for event in small if "at" in event]) <= 2
