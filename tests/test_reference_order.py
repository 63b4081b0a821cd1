"""Several chains, their clocks, and what the ledger held when: each pinned by a tiny season, and a
property: answers do not depend on the order in which the events of several chains arrive.
"""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.random_seasons import (
    Event,
    as_of_moments,
    known_at_moments,
    random_season,
    seasons,
)
from tests.random_seasons.chain import seal
from tests.random_seasons.tables import row
from tests.reference.reading import about, shown, verdict
from tests.reference.statements import in_ledger_order
from tests.reference_rules import book, eligibility, exposure, findings
from tests.short_season import set_up, short_season, when

EVERYTHING = (eligibility, exposure, findings)


@pytest.mark.parametrize(
    ("office", "tent", "expected"),
    [
        ("14:40", "14:39:59.999", "ok"),  # tent recorded first, though its event arrived last
        ("14:40", "14:40", "over"),  # recorded at the same time: office before tent
        ("14:40", "14:40:00.001", "over"),
    ],
)
def test_equal_times_are_settled_by_recorded_and_then_by_the_chain(
    office: str, tent: str, expected: str
) -> None:
    """Both weighs are of 14:35, entered at 14:35; the first in ledger order counts."""
    events = short_season(f"""
        14:35 weigh ash a1 over recorded={office}
        14:35 weigh ash a1 ok   recorded={tent} chain=tent
    """)
    assert verdict(events, "a1") == ("full yes scale" if expected == "ok" else "full no scale")


def test_where_a_clock_went_back_the_latest_before_it_in_that_chain_counts() -> None:
    """Tent's second event says 14:00, but came after one of 14:50: it is behind office's."""
    events = short_season("""
        14:36 weigh ash a2 ok   recorded=14:50 chain=tent
        14:35 weigh ash a1 ok   recorded=14:00 chain=tent
        14:35 weigh ash a1 over recorded=14:49
    """)
    assert verdict(events, "a1") == "full no scale"
    assert shown(events, "a1") == ["office:1"]
    assert [e["data"]["value"] for e in in_ledger_order(events[-3:])] == ["over", "ok", "ok"]


def test_ledger_order_never_outweighs_at_or_entered() -> None:
    events = short_season("""
        14:36 weigh ash a1 over recorded=14:36
        14:35 weigh ash a1 ok   recorded=18:00 chain=tent
        15:00 plays ash a1 half=1 count=9 pc entered=15:02 recorded=15:02
        15:00 plays ash a1 half=1 count=4 pc entered=15:01 recorded=18:00 chain=tent
    """)
    assert verdict(events, "a1") == "full yes scale"
    assert next(row["recorded"] for row in exposure(events, "g1") if row["player"] == "a1") == 9


def test_withdrawals_need_no_order() -> None:
    """The withdrawal of the withdrawal is before it in ledger order, by tent's slow clock."""
    events = short_season("""
        14:35 weigh ash a1 ok      recorded=14:35
        14:40 withdraw target=1    recorded=14:40
        14:50 withdraw target=2    recorded=14:30 chain=tent
    """)
    assert verdict(events, "a1") == "full yes scale"
    assert verdict(events, "a1", as_of=when("14:45")) == "none no none"
    again = short_season("""
        14:35 weigh ash a1 ok
        14:40 withdraw target=1
        14:41 withdraw target=1
        14:50 withdraw target=2
        14:51 withdraw target=4
    """)
    assert verdict(again, "a1", as_of=when("14:50")) == "none no none"  # by the second of them
    assert verdict(again, "a1") == "none no none"


def test_known_at_goes_by_recorded_for_statements() -> None:
    events = short_season("14:35 weigh ash a1 ok recorded=07/09:00")
    assert verdict(events, "a1", known_at=when("07/08:59:59.999")) == "none no none"
    assert verdict(events, "a1", known_at=when("07/09:00")) == "full yes scale"


def test_known_at_goes_by_recorded_for_tables_too() -> None:
    """The league at 10:00, g2 at 11:00 (so is a line of officials.csv); before them no rows."""
    drafts = [draft | {"recorded": when("10:00")} for draft in set_up({})]
    for draft in drafts:
        is_late_official = draft["data"].get("official") == "dp"
        if draft.get("game") == "g2" or is_late_official or draft.get("player") == "a2":
            draft["recorded"] = when("11:00")
    late = {"chain": "tables", "at": when("10:30"), "entered": when("10:30"), "by": "ca"}
    in_g2 = late | {"game": "g2", "team": "ash", "player": "a1", "recorded": when("10:30")}
    on_case = {"case": "c1", "value": "upheld", "may_play": "full"}
    statements = [
        late | {"kind": "case_open", "data": {"case": "c1", "reason": "other"}},
        in_g2 | {"game": "g1", "kind": "ruling", "by": "dp", "data": on_case},
        in_g2 | {"kind": "weigh", "data": {"value": "ok"}},
    ]
    statements[0]["recorded"] = when("10:30")
    events = seal(drafts + statements, Random(0))
    before, then, after = when("09:59:59.999"), when("10:59:59.999"), when("11:00")
    for answer in EVERYTHING:
        assert answer(events, known_at=before) == []
        assert answer(events, "g2", known_at=then) == []
    assert book(events, "ash", known_at=before) == []
    assert [one["player"] for one in book(events, "ash", known_at=then)] == ["a1"]
    assert [one["player"] for one in book(events, "ash", known_at=after)] == ["a1", "a2"]
    assert {one["game"] for one in eligibility(events, known_at=then)} == {"g1"}
    assert {one["game"] for one in eligibility(events, known_at=after)} == {"g1", "g2"}
    assert verdict(events, "a1", known_at=then) == "none no none"  # dp's line was not held
    assert about(events, "ruling_without_authority", known_at=then) != []
    assert verdict(events, "a1", known_at=after) == "full no ruling"
    assert about(events, "ruling_without_authority", known_at=after) == []


@pytest.mark.parametrize("answer", EVERYTHING)
def test_what_the_ledger_never_held_is_an_error(answer: object) -> None:
    events = short_season("14:35 weigh ash a1 ok")
    with pytest.raises(KeyError):
        answer(events, "g3")  # type: ignore[operator]
    with pytest.raises(KeyError):
        book(events, "oak")


def test_the_tables_count_whatever_the_as_of_and_a_correction_from_its_entered_on() -> None:
    drafts = set_up({})
    place = next(n for n, draft in enumerate(drafts, 1) if draft["kind"] == "division")
    limit = {"division": "d1", "name": "One", "carrier_limit_clb": 11000}
    limit["corrects"] = f"{drafts[place - 1]['chain']}:{place}"
    correction = row("division", limit) | {"entered": when("12:00"), "by": "rg"}
    station = {"kind": "station", "at": when("10:00"), "entered": when("10:00"), "by": "we"}
    station |= {"chain": "office", "game": "g1", "data": {"reading_clb": 1000, "limit_clb": 10000}}
    events = seal([*drafts, station, correction], Random(0))
    assert about(events, "limit_wrong", as_of=when("11:59:59.999")) == []
    assert about(events, "limit_wrong", as_of=when("12:00")) == [("g1", ["office:1"])]
    assert about(events, "limit_wrong") == [("g1", ["office:1"])]


def answers(events: list[Event], **moment: str) -> list[object]:
    teams = sorted(event["team"] for event in events if event["kind"] == "team")
    rows: list[object] = [answer(events, **moment) for answer in EVERYTHING]
    return rows + [book(events, team, **moment) for team in teams]


@settings(max_examples=30, deadline=None)
@given(seasons(60), st.randoms(use_true_random=False))
def test_the_order_of_arrival_changes_no_answer(events: list[Event], rng: Random) -> None:
    """Any order of the events of several chains: a chain's own order is in `seq`."""
    shuffled = rng.sample(events, len(events))
    as_of, known_at = rng.choice(as_of_moments(events)), rng.choice(known_at_moments(events))
    for moment in ({}, {"as_of": as_of}, {"known_at": known_at}):
        assert answers(shuffled, **moment) == answers(events, **moment)


def test_arrival_would_change_answers_if_it_were_ledger_order() -> None:
    """So the property above can fail: read as one chain in the order of arrival, some differ."""

    def as_one_chain(events: list[Event]) -> list[Event]:
        place = {f"{e['chain']}:{e['seq']}": f"office:{n}" for n, e in enumerate(events, 1)}
        renamed = []
        for seq, event in enumerate(events, 1):
            data = {key: place.get(str(v), v) for key, v in event["data"].items()}
            renamed.append(event | {"chain": "office", "seq": seq, "data": data})
        return renamed

    def verdicts(events: list[Event]) -> list[tuple[object, ...]]:
        rows = eligibility(events)
        return [(one["player"], one["may_play"], one["may_carry"], one["basis"]) for one in rows]

    several = [random_season(seed) for seed in range(60)]
    differ = [e for e in several if verdicts(e) != verdicts(as_one_chain(e))]
    assert len(differ) >= 3
