"""Random seasons are such as a ledger accepts, and small failing ones can be found in them."""

from __future__ import annotations

import hashlib
from collections import Counter

from hypothesis import given, settings

from tests.random_seasons import (
    Event,
    as_of_moments,
    faults,
    random_season,
    seasons,
    smallest,
    without,
)
from tests.random_seasons.chain import canonical
from tests.reference.state import Season
from tests.reference.statements import in_ledger_order
from tests.reference_rules import RULE_NAMES, eligibility, findings
from tests.short_season import short_season

SEEDS = range(60)


@settings(max_examples=25, deadline=None)
@given(seasons())
def test_what_is_named_is_known_before(events: list[Event]) -> None:
    assert faults(events) == []
    first = as_of_moments(events)[0]
    assert findings(events, as_of=first) == []
    assert eligibility(events, as_of=first) == eligibility([e for e in events if "at" not in e])


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


def test_each_chain_is_linked_and_clocks_differ() -> None:
    """Between chains the list is often not in ledger order, and a clock sometimes goes back."""
    went_back = out_of_order = 0
    for seed in SEEDS:
        events = random_season(seed)
        heads: dict[str, tuple[int, str]] = {}
        for event in events:
            seq, prev = heads.get(event["chain"], (0, "0" * 64))
            assert (event["v"], event["seq"], event["prev"]) == (1, seq + 1, prev)
            heads[event["chain"]] = (seq + 1, hashlib.sha256(b"\0" + canonical(event)).hexdigest())
        for chain in heads:
            recorded = [event["recorded"] for event in events if event["chain"] == chain]
            went_back += recorded != sorted(recorded)
        out_of_order += in_ledger_order(events) != events
    assert went_back >= 3
    assert out_of_order >= 10


def test_a_signature_names_no_more_of_a_chain_than_there_was() -> None:
    whole = part = 0
    for seed in SEEDS:
        lengths: Counter[str] = Counter()
        for event in random_season(seed):
            for chain, named in event["data"].get("others", {}).items():
                assert chain != event["chain"]
                assert 1 <= named["size"] <= lengths[chain]
                whole += named["size"] == lengths[chain]
                part += named["size"] < lengths[chain]
            lengths[event["chain"]] += 1
    assert whole >= 20
    assert part >= 10


def test_a_smaller_season_keeps_what_its_signatures_cover() -> None:
    events = short_season("""
        14:30 weigh ash a1 ok chain=tent
        14:31 weigh ash a2 ok chain=tent
        14:32 weigh elm e1 ok chain=tent
        14:50 countersign ash we how=key others=tent:2
    """)
    first_of_tent = next(n for n, event in enumerate(events) if event["chain"] == "tent")
    signature = without(events, {first_of_tent})[-1]
    assert signature["data"]["others"] == {"tent": {"root": "00" * 32, "size": 1}}
    signature = without(events, {first_of_tent, first_of_tent + 1})[-1]
    assert signature["data"]["others"] == {}


def test_no_more_statements_than_asked_for() -> None:
    for seed in range(20):
        assert sum("at" in event for event in random_season(seed, 12)) <= 12


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


def test_appoints_signatures_and_withdrawals_of_every_sort_turn_up() -> None:
    """Each at least ten times in 150 seasons."""
    met: Counter[str] = Counter()
    for seed in range(150):
        events = random_season(seed)
        season = Season(events)
        met["several chains"] += len({event["chain"] for event in events}) > 1
        met["tables loaded late"] += _is_loaded_late(events)
        met["an older league row"] += "training_valid_days" not in events[0]["data"]["weigh_in"]
        by_id = {f"{event['chain']}:{event['seq']}": event for event in events}
        refused = {appoint.id for appoint in season.roles.unauthorized}
        for said in season.statements:
            met[said.kind] += 1
            if said.kind == "appoint":
                met["appoint with authority"] += said.id not in refused
                met["appoint without authority"] += said.id in refused
                met["appoint of oneself"] += said.by == said.value
                met["appoint for a game"] += said.game is not None
                met["for a game, with authority"] += (
                    said.game is not None and said.id not in refused
                )
                met["by somebody appointed"] += any(
                    other.value == said.by and other.position < said.position
                    for other in season.of_kind("appoint")
                )
            if said.kind == "countersign":
                met[f"signed: {said.data.get('how')}"] += 1
                met["form 1"] += "how" in said.data and "form" not in said.data
                met["names other chains"] += bool(said.data.get("others"))
            if said.kind == "withdraw":
                target = by_id[said.data["target"]]
                is_withdrawal = target["kind"] == "withdraw"
                met["withdrawal of a withdrawal"] += is_withdrawal
                met["the same across chains"] += is_withdrawal and target["chain"] != said.chain
    wanted = {"trained", "assign", "signed: None", "signed: key", "signed: ink", "signed: device"}
    assert wanted <= met.keys()
    assert {what: n for what, n in met.items() if n < 10} == {}


def _is_loaded_late(events: list[Event]) -> bool:
    stated = next((n for n, event in enumerate(events) if "at" in event), len(events))
    return any("at" not in event for event in events[stated:])
