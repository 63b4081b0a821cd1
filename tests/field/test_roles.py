"""Roles, kept warm, follow what others append; each row of the test begins with one change."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.actions.asking import Acting
from ledger.actions.entries import record, take_back
from ledger.actions.keys import enroll, revoke
from ledger.actions.officials import prove, read_officials
from ledger.errors import RuleError
from ledger.field.roles import Roles
from ledger.store.opening import open_store
from ledger.store.store import Store
from tests.tiny import load, write_folder

SECRET = Acting(new_passphrase="invented words", passphrase="invented words")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    load(tmp_path / "tiny.weighbook", write_folder(tmp_path / "folder"))
    return tmp_path / "tiny.weighbook"


@pytest.fixture
def store(path: Path) -> Iterator[Store]:
    found = open_store(path)
    yield found
    found.close()


@pytest.fixture
def other(path: Path) -> Iterator[Store]:
    """As another program has the ledger open."""
    found = open_store(path)
    yield found
    found.close()


def held(roles: Roles, official: str) -> list[tuple[str, str | None, str | None]]:
    return [(one.role, one.team, one.game) for one in roles.now().roles.get(official, ())]


def appoint(store: Store, value: str, to: str, **cells: str) -> str:
    entry = {"kind": "appoint", "by": "rg", "value": value, "to": to} | cells
    return record(store, [entry]).event_ids[0]


def test_lines_of_the_table(store: Store) -> None:
    roles = Roles(store)
    assert held(roles, "wa") == [("weighmaster", "ash", None)]
    assert held(roles, "rg") == [("registrar", None, None)]
    assert roles.now().names["wa"] == "Ana Thistlewood"
    assert roles.now().sides["g1"] == ("ash", "elm")


def test_an_appointment_by_another_program_counts_at_once_until_it_is_withdrawn(
    store: Store, other: Store
) -> None:
    roles = Roles(store)
    event = appoint(other, "wb", "weighmaster", team="ash", game="g1", name="Bo Windlestraw")
    assert held(roles, "wb") == [("weighmaster", "ash", "g1")]
    assert roles.now().names["wb"] == "Bo Windlestraw"
    back = take_back(other, [event], by="rg", reason="another can come")
    assert held(roles, "wb") == []
    take_back(other, back.event_ids, by="rg", reason="no")
    assert held(roles, "wb") == [("weighmaster", "ash", "g1")]


def test_a_role_without_authority_is_told_apart(store: Store) -> None:
    roles = Roles(store)
    appoint(store, "pc", "registrar", by="ca")
    assert [(one.role, one.has_authority) for one in roles.now().roles["pc"]] == [
        ("play_counter", True),
        ("registrar", False),
    ]


def test_assignments_come_and_go(store: Store) -> None:
    roles = Roles(store)
    entry = {"kind": "assign", "by": "rg", "game": "g2", "team": "ash", "value": "we"}
    done = record(store, [entry])
    assert roles.now().assigned["we"] == {("g2", "ash")}
    take_back(store, done.event_ids, by="rg", reason="ill")
    assert "we" not in roles.now().assigned


def test_what_changes_nobody_is_not_read_anew(store: Store) -> None:
    roles = Roles(store)
    before = roles.now()
    weigh = {"kind": "weigh", "by": "we", "game": "g1", "team": "ash", "number": "1"}
    done = record(store, [weigh | {"value": "ok"}])
    take_back(store, done.event_ids, by="we", reason="another child")
    assert roles.now() is before


def test_a_key_opens_until_it_is_replaced_or_revoked(store: Store) -> None:
    roles = Roles(store)
    enroll(store, "wa", by="rg", acting=SECRET)
    first = prove(store, roles.now(), "wa", "invented words")
    assert roles.now().keys["wa", None] == first
    with pytest.raises(RuleError, match="does not open"):
        prove(store, roles.now(), "wa", "other words")
    enroll(store, "wa", by="rg", replace=True, acting=SECRET)
    second = prove(store, roles.now(), "wa", "invented words")
    assert second != first
    revoke(store, "wa", by="rg", reason="lost", acting=SECRET)
    assert roles.now().key_games("wa") == []
    with pytest.raises(RuleError, match="no key in force"):
        prove(store, roles.now(), "wa", "invented words")


def test_a_key_for_one_game_opens_too(store: Store) -> None:
    appoint(store, "wb", "weighmaster", team="ash", game="g1", name="Bo Windlestraw")
    enroll(store, "wb", by="rg", game="g1", acting=SECRET)
    officials = read_officials(store)
    assert officials.key_games("wb") == ["g1"]
    assert prove(store, officials, "wb", "invented words") == officials.keys["wb", "g1"]
