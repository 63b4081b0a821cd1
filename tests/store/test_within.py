"""A ledger within lengths of its chains answers as it did when it had those lengths."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.errors import InputError, IntegrityError, StoreError
from ledger.record.accepted import Accepted
from ledger.record.times import now_utc
from ledger.store.chains import begin_chain
from ledger.store.erasure import erase
from ledger.store.sqlite.store import SqliteStore
from ledger.store.store import Store
from ledger.store.within import Within
from ledger.witness.countersign import countersign_in_ink, show_list
from tests.signed_season import CASE, CHAIN, GAME, season


@pytest.fixture
def store(tmp_path: Path) -> Iterator[SqliteStore]:
    with season(tmp_path / "season.weighbook") as store:
        yield store


def everything(store: Store) -> dict[str, Any]:
    """What each method of reading gives."""
    ids = [f"{CHAIN}:{seq}" for seq in (1, 400, 7347)]
    return {
        "events": list(store.events()),
        "of a game": list(store.events(game=[GAME], kind=["countersign", "withdraw"])),
        "of a case": list(store.events(subject=[CASE])),
        "outside games": list(store.events(kind=["chain_key"], outside_games=["yes"])),
        "entered last": [stored for stored, _ in zip(store.entered_last(), range(5), strict=False)],
        "by id": list(store.events_by_id(ids)),
        "head": [store.head(chain) for chain in (CHAIN, "tablet")],
        "last": store.last(),
        "lengths": dict(store.lengths()),
        "by game": dict(store.count_by_game()),
        "disclosures": list(store.disclosures()),
        "of these": list(store.disclosures(ids)),
        "hashes": [store.hashes(chain) for chain in (CHAIN, "tablet")],
        "checkpoints": list(store.checkpoints()),
        "exhibits": dict(store.exhibits()),
        "files": [store.exhibit(sha256) for sha256 in store.exhibits()],
    }


def write_on(store: SqliteStore) -> None:
    """More of everything: statements, a withdrawal, a kept scan, a chain."""
    (league,) = (stored.event.data for stored in store.events(kind=["league"]))
    target = next(iter(store.events(kind=["list"], game=[GAME]))).event
    shown = show_list(store, GAME, "newts", "newts-wm2", chain=CHAIN)
    countersign_in_ink(store, shown, b"%PDF- an invented scan", "scan.pdf")
    now = now_utc()
    noted = Accepted("concern", {"reason": "other"}, {"note": "invented"}, at=now, entered=now,
                     by="registrar", game=GAME)  # fmt: skip
    gone = Accepted("withdraw", {"target": target.id}, {"reason": "a slip"}, at=now, entered=now,
                    by=target.by, game=GAME)  # fmt: skip
    with store.writing() as writing:
        writing.append([noted, gone], chain=CHAIN)
        begin_chain(writing, "tablet", league)
        writing.append([noted], chain="tablet")


def test_it_answers_as_the_ledger_did(store: SqliteStore) -> None:
    before, lengths = everything(store), dict(store.lengths())
    write_on(store)
    after = everything(store)
    assert {name for name in before if before[name] == after[name]} == {"by id", "of these",
        "of a case", "checkpoints"}  # fmt: skip
    assert everything(Within(store, lengths)) == before
    assert everything(Within(store, store.lengths())) == after
    hashes = {chain: store.hashes(chain) for chain in store.lengths()}
    assert everything(Within(store, lengths, hashes=hashes)) == before


def test_what_came_later_is_not_there(store: SqliteStore) -> None:
    lengths = dict(store.lengths())
    write_on(store)
    view = Within(store, lengths)
    with pytest.raises(InputError, match="no event tablet:1 in this ledger then") as caught:
        list(view.events_by_id(["tablet:1"]))
    assert "recorded after" in caught.value.hint
    with pytest.raises(StoreError, match="no events"):
        Within(store, {}).last()


def test_keys_are_of_the_chains_that_are_named(store: SqliteStore) -> None:
    (key,) = (stored.event.data["origin"] for stored in store.events(kind=["chain_key"]))
    lengths = store.lengths()
    assert Within(store, lengths).key(key) == store.key(key) is not None
    assert Within(store, lengths, keys=[CHAIN]).key(key) == store.key(key)
    assert Within(store, lengths, keys=[]).key(key) is None


def test_it_is_for_reading(store: SqliteStore) -> None:
    view = Within(store, store.lengths())
    for write in (view.writing, view.forget_free_space):
        with pytest.raises(StoreError, match="for reading only"):
            write()
    view.close()
    assert store.last()


def test_what_was_erased_stays_erased(store: SqliteStore) -> None:
    lengths = dict(store.lengths())
    (row, *_) = store.disclosures()
    erase(store, [one.event for one in store.events_by_id([row.event_id])], by="registrar",
          chain=CHAIN)  # fmt: skip
    assert row.event_id not in {one.event_id for one in Within(store, lengths).disclosures()}


def test_against_hashes_nothing_passes_that_was_changed(store: SqliteStore) -> None:
    hashes = {CHAIN: store.hashes(CHAIN)}
    view = Within(store, store.lengths(), hashes=hashes)
    (row, *_) = view.disclosures()
    store.connection.execute(
        "update disclosure set text = (select text from disclosure where seq > ? limit 1) "
        "where chain = ? and seq = ? and field = ?",
        (row.seq, row.chain, row.seq, row.field),
    )
    with pytest.raises(IntegrityError, match=f"the {row.field} of the event {row.event_id}"):
        list(view.disclosures([row.event_id]))
    hashes[CHAIN][399] = bytes(32)
    with pytest.raises(IntegrityError, match="the event office:400 in this ledger is not what"):
        list(view.events_by_id(["office:400"]))
