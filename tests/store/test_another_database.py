"""One season from load to signature in the lists of `tests.store.memory`: every layer above the
store does there what it does over SQLite.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.merkle import root
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_game, read_season
from ledger.record.folder import read_folder
from ledger.record.statements import KINDS
from ledger.say.recorded import recorded_lines
from ledger.store.erasure import erase, events_of_child
from ledger.store.loading import load_folder
from ledger.store.opening import open_store
from ledger.store.recording import record_alone
from ledger.store.snapshot import Snapshot
from ledger.store.store import Store, Stored
from ledger.store.within import Within
from ledger.witness.vouching import is_key_signature
from tests.conftest import SAMPLE
from tests.signing import OFFICE, Morning
from tests.store.memory import Memory, MemoryStore

GAME, TEAM, SIGNER = "acorn-1a", "newts", "marmots-wm3"
ASKED = "oak-7b"
"""A game with findings."""
WHEN = "2026-09-05T14:00:00.000Z"


@pytest.fixture(scope="module")
def store() -> Store:
    made = MemoryStore(Memory())
    with made.writing() as writing:
        load_folder(writing, read_folder(SAMPLE), chain=OFFICE)
    return made


def rows(events: Sequence[Stored], answer: str, **asked: str) -> list[tuple[Any, ...]]:
    engine = Engine(events)
    found = find(engine, **asked) if answer == "findings" else engine.answer(answer, **asked)
    engine.close()
    return found.rows


def test_the_answers_are_those_of_the_file(store: Store, sample_ledger: Path) -> None:
    file = open_store(sample_ledger)
    for answer in ("eligibility", "findings", "exposure"):
        own, theirs = (rows(read_game(one, ASKED), answer, game=ASKED) for one in (store, file))
        assert own == theirs
        assert own, answer
    assert rows(list(read_season(store)), "season_game") == rows(
        list(read_season(file)), "season_game"
    )
    file.close()


def test_a_statement_is_recorded_and_told_in_words(store: Store) -> None:
    late = KINDS["late_weigh"](
        at=WHEN, entered=WHEN, by=SIGNER, game=GAME, team=TEAM, number=5, value="ok"
    )
    (event_id,) = record_alone(Snapshot(store), [late], chain=OFFICE)
    lines = recorded_lines(store, event_id, "America/Chicago")
    assert "newts 5" in lines[0].text
    assert event_id in {one.id for one in read_game(store, GAME)}


def test_a_list_is_signed_with_a_key(store: Store) -> None:
    signed = Morning(store).sign(SIGNER, game=GAME, team=TEAM)
    assert parse_checkpoint(signed.note.text).root == root(store.hashes(OFFICE))
    assert is_key_signature(store, signed.event_id)


def test_what_was_signed_can_be_seen_as_it_was(store: Store) -> None:
    before, lengths = rows(read_game(store, GAME), "eligibility", game=GAME), store.lengths()
    Morning(store).state("late_weigh", by=SIGNER, team=TEAM, player="k5", game=GAME, value="over")
    assert rows(read_game(Within(store, lengths), GAME), "eligibility", game=GAME) == before


def test_a_child_is_erased(store: Store) -> None:
    player = next(store.events(kind=["player"], team=[TEAM])).event.player
    events = events_of_child(store, str(player))
    erased = erase(store, events, by="registrar", chain=OFFICE, player=player)
    assert erased.texts >= 1
    assert list(store.disclosures([event.id for event in events])) == []
    assert store.event(erased.event_id).kind == "erasure"
