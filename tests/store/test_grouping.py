"""Acts in one transaction fare as each in its own, whatever the group."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from random import Random
from typing import Any

import pytest

from ledger.errors import FolderError
from ledger.record.folder import read_folder
from ledger.store.grouping import grouping
from ledger.store.loading import load_folder
from ledger.store.recording import record_alone
from ledger.store.snapshot import Snapshot
from ledger.store.store import Store
from tests.store.backends import Backend, memory
from tests.store.test_snapshot import NEW, WEIGH, entries, known_by, state

Folder = Callable[..., Path]
_BY_CHANCE = ("digests", "key", "others")
NOW = "2026-09-05T20:00:00.000Z"


def loaded(store: Store, folder: Path) -> Snapshot:
    store.clock = lambda: NOW  # equal times on both sides
    with store.writing() as writing:
        load_folder(writing, read_folder(folder), chain="office")
    return Snapshot(store)


def said(store: Store) -> Iterator[tuple[Any, ...]]:
    """What the statements say, without salts and hashes."""
    for stored in store.events():
        event = stored.event
        data = {key: value for key, value in event.data.items() if key not in _BY_CHANCE}
        yield event.id, event.kind, data, event.player, event.team, event.at


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("chain", ["office", "field"])
def test_a_group_is_as_each_alone(
    backend: Backend, tmp_path: Path, folder: Folder, seed: int, chain: str
) -> None:
    rng, met = Random(seed), Counter[str]()
    together, alone = backend.open(), memory(tmp_path).open()
    ours, theirs = loaded(together, folder()), loaded(alone, folder())
    for snapshot in (ours, theirs):
        record_alone(snapshot, [state("close", game="g1", team="ash")], chain=chain)
    turn = 0
    while turn < 60:
        size = rng.choice([1, 2, 5, 9])
        acts = [entries(rng, f"x{turn + n}") for n in range(size)]
        turn += size
        with grouping(ours, chain) as group:
            found = [outcome(group.add, act) for act in acts]
        assert found == [
            outcome(lambda act: record_alone(theirs, act, chain=chain), act) for act in acts
        ]
        met.update("recorded" if isinstance(one, list) else "refused" for one in found)
    assert list(said(together)) == list(said(alone))
    assert min(met.values()) > 10
    ours.follow()
    assert known_by(ours, together) == known_by(Snapshot(together), together)
    together.close()


def outcome(add: Callable[[Any], list[str]], act: Any) -> list[str] | str:
    try:
        return add(act)
    except FolderError as error:
        return error.message


def test_a_group_that_is_undone_teaches_nothing(backend: Backend, folder: Folder) -> None:
    store = backend.open()
    snapshot = loaded(store, folder())
    with suppress(KeyboardInterrupt), grouping(snapshot, "office") as group:
        assert len(group.add([NEW])) == len(group.add([WEIGH])) == 1
        assert group.with_ref("new") is not None
        raise KeyboardInterrupt
    with grouping(snapshot, "office") as group:
        assert group.with_ref("new") is None
        assert isinstance(outcome(group.add, [WEIGH]), str)
    store.close()


def test_a_chain_begins_only_with_what_is_accepted(backend: Backend, folder: Folder) -> None:
    store = backend.open()
    snapshot = loaded(store, folder())
    with grouping(snapshot, "field") as group:
        assert isinstance(outcome(group.add, [WEIGH]), str)
    assert "field" not in store.lengths()
    with grouping(snapshot, "field") as group:
        assert isinstance(outcome(group.add, [WEIGH]), str)
        assert group.add([NEW]) == ["field:2"]
    assert store.lengths()["field"] == 2
    store.close()
