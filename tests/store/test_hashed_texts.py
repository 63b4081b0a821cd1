"""Texts that nothing can erase: every one that somebody typed, whatever its key is."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.chain.cosignature import cosigner_key
from ledger.chain.event import Event
from ledger.chain.keys import make_key
from ledger.chain.note import format_verifier_key
from ledger.derive.settling import CODES
from ledger.store.hashed_texts import fixed_texts

NAME = "Zelda's Corner"


def event(kind: str = "half", data: dict[str, Any] | None = None, seq: int = 1) -> Event:
    return Event("office", seq, bytes(32), "", kind, "2026-09-05T13:40:00.000Z", data or {})


def texts(*events: Event) -> list[tuple[str, str]]:
    """What is found beside the chain's own name, which stands in every event."""
    return [(what, text) for what, text, _ in fixed_texts(events) if what != "chain"]


@pytest.mark.parametrize(
    ("kind", "data", "what"),
    [
        ("initial", {"initials": NAME}, "initials"),
        ("game", {"site": NAME}, "site"),
        ("game_change", {"site": NAME}, "site"),
        ("team", {"association": NAME}, "association"),
        ("team", {"name": NAME}, "team's name"),
        ("division", {"name": NAME}, "division's name"),
        ("league", {"name": NAME}, "league's name"),
        ("league", {"card": {"gear": ["Rib pads stay on.", NAME]}}, "card's gear"),
        ("appoint", {"value": NAME}, "official"),
        ("trained", {"value": NAME}, "official"),
        ("chain_key", {"origin": NAME}, "chain's origin"),
        ("countersign", {"shown": {"lines": [{"struck": {"by": NAME}}]}}, "official"),
        ("countersign", {"despite": ["late", NAME]}, "despite"),
        ("half", {"source": {"file": NAME, "record": 1}}, "day file"),
        ("a_kind_of_next_year", {"new_key": [{"deep": [NAME]}]}, "deep"),
    ],
)
def test_every_text_is_found_and_said_what_it_is(
    kind: str, data: dict[str, Any], what: str
) -> None:
    assert (what, NAME) in texts(event(kind, data))


KEY = format_verifier_key(cosigner_key("we@x/2026/office", make_key().public))


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        ("official_key", {"key": KEY}),
        ("case_exhibit", {"value": "0f" * 32}),
        ("weigh", {"value": "no_scale", "number": 12}),
        ("list", {"reason": "over"}),
        ("official", {"role": "weighmaster"}),
        ("league", {"weigh_in": {"late_players": "second_half"}, "time_zone": "Asia/Kolkata"}),
        ("countersign", {"how": "ink", "shown": {"rows": [{"basis": "late_scale"}]}}),
        ("countersign", {"how": "key", "despite": [*CODES]}),
        ("game", {"kickoff": "2026-09-05T15:00:00.000Z"}),
        ("half", {"digests": {"note": "Zelda0BFzelda"}}),
        ("withdraw", {"target": "office:1"}),
    ],
)
def test_what_nobody_typed_is_left_out(kind: str, data: dict[str, Any]) -> None:
    assert texts(event(kind, data)) == []


def test_each_text_once_with_its_first_event() -> None:
    twice = [event(data={"ref": NAME}, seq=1), event(data={"ref": NAME}, seq=2)]
    found = [fixed for fixed in fixed_texts(twice) if fixed.text == NAME]
    assert found == [("ref", NAME, "office:1")]


def nested(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    key = st.sampled_from(["a", "b", "site", "lines"])
    return st.lists(inner, min_size=1) | st.dictionaries(key, inner, min_size=1)


@given(st.recursive(st.integers() | st.none() | st.just(NAME) | st.booleans(), nested))
def test_a_text_is_found_wherever_it_lies(value: Any) -> None:
    is_there = NAME in str(value)
    assert (NAME in [text for _, text in texts(event(data={"x": value}))]) is is_there
