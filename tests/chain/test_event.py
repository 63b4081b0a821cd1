"""Events: canonical bytes, links, and a strict parser."""

import json
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.chain import event as event_module
from ledger.chain.event import make_event, parse_event
from ledger.chain.hashing import BEGINNING, leaf_hash
from ledger.errors import InputError

BODY = {
    "kind": "weigh",
    "at": "2026-09-05T13:41:22.000Z",
    "entered": "2026-09-05T13:41:22.000Z",
    "by": "o1",
    "game": "g1",
    "team": "t1",
    "player": "p1",
    "data": {"value": "ok"},
}
RECORDED = "2026-09-05T13:41:23.000Z"


def _made() -> bytes:
    return make_event(BODY, chain="office", seq=1, prev=BEGINNING, recorded=RECORDED)[0]


def test_an_event_reads_back_as_it_was_made() -> None:
    data, hashed = make_event(BODY, chain="office", seq=1, prev=BEGINNING, recorded=RECORDED)
    event = parse_event(data)
    assert hashed == leaf_hash(data)
    assert (event.id, event.prev, event.recorded) == ("office:1", BEGINNING, RECORDED)
    assert {key: getattr(event, key) for key in BODY} == BODY


def test_what_is_not_given_is_left_out() -> None:
    data, _ = make_event(
        {"kind": "league", "data": {}, "at": None}, chain="c", seq=1, prev=BEGINNING,
        recorded=RECORDED,
    )  # fmt: skip
    assert b"null" not in data
    assert b'"at"' not in data


def test_the_same_statement_twice_has_two_salts() -> None:
    assert json.loads(_made())["salt"] != json.loads(_made())["salt"]


@pytest.mark.parametrize(
    "change",
    [
        {"v": 2},
        {"seq": 0},
        {"seq": True},
        {"prev": "0" * 63},
        {"prev": "A" * 64},
        {"salt": "short"},
        {"at": "2026-09-05T13:41:22Z"},
        {"data": []},
        {"game": 7},
        {"weight": 1},
        {"kind": None},
    ],
    ids=str,
)
def test_an_event_of_another_form_is_refused(change: dict[str, object]) -> None:
    value = json.loads(_made()) | change
    data = json.dumps(value, sort_keys=True, separators=(",", ":")).encode()
    with pytest.raises(InputError):
        parse_event(data)


@pytest.mark.parametrize("version", [0, 2, -1])
def test_an_event_of_another_version_says_which_and_what_to_do(version: int) -> None:
    data = _made().replace(b'"v":1', f'"v":{version}'.encode())
    with pytest.raises(InputError) as caught:
        parse_event(data)
    assert caught.value.message == f"event: unknown version {version}"
    hint = "This weighbook reads versions up to 1. Install the newest one."
    assert caught.value.hint == hint


def test_an_older_version_is_lifted_and_keeps_its_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    def lift(value: dict[str, Any]) -> dict[str, Any]:
        return {**value, "data": {"value": value["data"]["was"]}}

    data = _made().replace(b'"v":1', b'"v":0').replace(b'{"value":', b'{"was":')
    before = leaf_hash(data)
    monkeypatch.setitem(event_module._LIFTS, 0, lift)
    assert parse_event(data).data == {"value": "ok"}
    assert leaf_hash(data) == before


@given(st.integers(0, 10_000), st.integers(1, 255))
def test_any_changed_byte_changes_the_hash(place: int, flip: int) -> None:
    data = bytearray(_made())
    before = leaf_hash(bytes(data))
    data[place % len(data)] ^= flip
    assert leaf_hash(bytes(data)) != before
    with suppress(InputError):
        parse_event(bytes(data))
