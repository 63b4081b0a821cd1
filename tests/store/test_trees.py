"""Trees that were hashed before, and continued, are those of the ledger as it is."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from pathlib import Path

from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.merkle import root
from ledger.chain.others import State, parse_others
from ledger.store.chains import sign_head
from ledger.store.recording import record_alone
from ledger.store.snapshot import Snapshot
from ledger.store.sqlite.store import SqliteStore
from ledger.store.trees import Trees
from tests.store.test_snapshot import state
from tests.tiny import day, says, tiny_store

CLOSE = state("close", game="g1", team="ash")


def enter(store: SqliteStore, chain: str) -> str:
    return record_alone(Snapshot(store), [CLOSE], chain=chain)[0]


def tick(store: SqliteStore) -> None:
    """Give the store a clock that goes on by a minute a reading; two entries may share a moment."""
    minutes = count()
    store.clock = lambda: f"2099-01-01T00:{next(minutes):02d}:00.000Z"


def test_trees_are_continued_over_what_came_in(folder: Callable[..., Path]) -> None:
    with tiny_store(folder(day=day(says("close", game="g1", team="ash")))) as store:
        tick(store)
        trees = Trees(store)
        assert trees.state("office") == State(0, root([]))
        trees.catch_up()
        before = trees.state("office")
        assert before == State(21, root(store.hashes("office")))
        ids = [enter(store, "office"), enter(store, "tent"), enter(store, "office")]
        assert trees.state("office") == before
        assert [stored.id for stored in trees.newer()] == [ids[0], "tent:1", ids[1], ids[2]]
        trees.catch_up()
        for chain in ("office", "tent"):
            hashes = store.hashes(chain)
            assert trees.state(chain) == State(len(hashes), root(hashes))
            assert store.hashes(chain, after=1) == hashes[1:]
        assert trees.newer() == []
        assert trees.others("office") == {"tent": trees.state("tent")}


def test_a_note_by_trees_from_before_is_the_same(folder: Callable[..., Path]) -> None:
    with tiny_store(folder()) as store:
        trees = Trees(store)
        trees.catch_up()
        enter(store, "office")
        note = sign_head(store, "office", trees)
        assert note == sign_head(store, "office")
        assert parse_checkpoint(note.text).size == store.head("office").seq


def test_a_new_chain_names_the_heads_of_all_others(folder: Callable[..., Path]) -> None:
    with tiny_store(folder()) as store:
        size, hashes = store.head("office").seq, store.hashes("office")
        enter(store, "tent")
        (first,) = store.events(kind=["chain_key"], chain=["tent"])
        assert parse_others(first.event.data) == {"office": State(size, root(hashes))}
