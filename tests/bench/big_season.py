"""A ledger of a million events: the sample season over and over, each time with ids of its own.

Written once into a folder and kept there for the next bench of the same size.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from ledger.record.accepted import Accepted
from ledger.record.folder import read_folder
from ledger.record.kinds import OWN
from ledger.store.loading import load_folder
from ledger.store.opening import open_store
from ledger.store.sqlite.file import make_file
from ledger.store.sqlite.store import SqliteStore

SAMPLE = Path(__file__).resolve().parents[2] / "sample_season"
MILLION = 1_000_000
_IDS = ("division", "home", "visitor", "official", "case", "ref")


def sample_store(folder: Path) -> Path:
    """The sample season as a ledger."""
    path = folder / "sample.weighbook"
    if not path.exists():
        contents = read_folder(SAMPLE)
        with make_file(path) as store, store.writing() as writing:
            load_folder(writing, contents, chain="office")
    return path


def big_store(folder: Path, events: int = MILLION) -> Path:
    """A ledger of at least so many events, the sample season's first."""
    path = folder / f"big-{events}.weighbook"
    if path.exists():
        return path
    sample = open_store(sample_store(folder))
    bodies = [stored.event for stored in sample.events() if stored.event.kind not in OWN]
    contents = read_folder(SAMPLE)
    with make_file(path) as store:
        with store.writing() as writing:
            load_folder(writing, contents, chain="office")
        copy = 0
        while (length := store.head("office").seq) < events:
            copy += 1
            _append(store, _again(bodies, f"x{copy}", length))
    return path


def _append(store: SqliteStore, bodies: Iterator[Accepted]) -> None:
    with store.writing() as writing:
        writing.append(list(bodies), chain="office")


def _again(events: list[Any], mark: str, length: int) -> Iterator[Accepted]:
    seqs = {event.id: length + n for n, event in enumerate(events)}
    for event in events:
        if event.kind == "league":
            continue
        data = _data(event.kind, event.data, mark)
        if "target" in data:
            data["target"] = f"office:{seqs[data['target']]}"
        yield Accepted(
            event.kind,
            data,
            at=event.at,
            entered=event.entered,
            by=event.by and event.by + mark,
            game=event.game and event.game + mark,
            team=event.team and event.team + mark,
            player=event.player and event.player + mark,
        )


def _data(kind: str, data: Mapping[str, Any], mark: str) -> dict[str, Any]:
    kept = {key: value for key, value in data.items() if key not in ("digests", "source")}
    kept |= {key: kept[key] + mark for key in _IDS if key in kept}
    if kind == "appoint":
        kept["value"] += mark
    return kept
