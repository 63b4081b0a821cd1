"""Acceptance that asks by index, warm or not, against acceptance that has learned the whole ledger:
the same is accepted, and the same refused for the same faults. And a snapshot learns by reading.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from ledger.errors import Fault, FolderError
from ledger.record.accept import Candidate, accept
from ledger.record.accepted import Accepted
from ledger.record.folder import read_folder
from ledger.record.known import Known, Source, Topic, topics_of
from ledger.record.reading import Place
from ledger.record.statements import KINDS, Statement
from ledger.store import snapshot as snapshots
from ledger.store.loading import load_folder
from ledger.store.opening import open_store
from ledger.store.recording import Recording, record_alone, recording
from ledger.store.snapshot import ByIndex, Snapshot
from ledger.store.sqlite.store import SqliteStore
from ledger.store.store import Store, Stored
from tests.random_seasons import Event, random_season
from tests.random_seasons.chain import SET_UP
from tests.store.backends import Backend
from tests.stored import put, store_of, stored_events
from tests.tiny import day, says, tiny_store

Outcome = tuple[list[Accepted], list[Fault]]
TOP = ("at", "entered", "by", "game", "team", "player")
NAMES = ("game", "team", "player", "by", "value", "case", "target", "ref", "number")
RENAMED = {"reading_clb": "reading", "limit_clb": "limit"}
COLUMNS = {"game", "team", "player", "by", "ref", "case", "target", "name", "number"}


def said(event: Event) -> dict[str, Any]:
    """The fields of the statement that the event is, made up where they are personal."""
    data = {RENAMED.get(key, key): value for key, value in event["data"].items()}
    texts = dict.fromkeys(data.pop("digests", {}), "Wren Saltmarsh")
    data.pop("source", None)
    fields = data | texts | {key: event[key] for key in TOP if key in event}
    if "name" in texts and event["kind"] != "enter_player":
        fields.pop("player", None)
    return fields


def spoil(rng: Random, fields: dict[str, Any], events: Sequence[Event]) -> None:
    """Change a name or two: to one of another event's, to nearly itself, to a number alone."""
    for key in rng.sample([key for key in NAMES if key in fields], 1):
        other = said(rng.choice([event for event in events if event["kind"] not in SET_UP]))
        fields[key] = other[key] if key in other and rng.random() < 0.7 else f"{fields[key]}x"
        if key == "target" and rng.random() < 0.7:
            event = rng.choice(events)
            fields[key] = event["data"].get("ref", f"{event['chain']}:{event['seq']}")
    if rng.random() < 0.5 and "player" in fields and "game" in fields:
        fields["number"] = rng.randint(0, 12)
        if rng.random() < 0.8:
            del fields["player"]
    if rng.random() < 0.3:
        labels = [event["data"]["ref"] for event in events if "ref" in event["data"]]
        fields["ref"] = rng.choice([*labels, "new"])


def statements(rng: Random, events: Sequence[Event]) -> list[Candidate]:
    """A few statements, as those of the season are, or nearly."""
    made: list[Statement] = []
    while len(made) < 4:
        event = rng.choice([event for event in events if event["kind"] not in SET_UP])
        fields = said(event)
        if rng.random() < 0.8:
            spoil(rng, fields, events)
        try:
            made.append(KINDS[event["kind"]](**fields))
        except ValidationError:
            continue
    return [Candidate(statement, Place("", line)) for line, statement in enumerate(made, 1)]


def learned(events: Sequence[Event]) -> Known:
    """What a ledger of these events knows when all of it was learned."""
    known = Known()
    for stored in sorted(stored_events(events)):
        known.learn(stored.event, stored.id, stored.order)
    return known


def outcomes(seed: int) -> Iterator[tuple[Outcome, Outcome, Outcome]]:
    """Of the same statements: the whole ledger learned, asked by index, asked of a snapshot that
    was made when the ledger was shorter, was asked things then, and has followed it.
    """
    rng = Random(seed)
    events = random_season(seed)
    set_up = sum(event["kind"] in SET_UP for event in events)
    length = rng.randint(min(set_up + 1, len(events)), len(events))
    store = store_of(events[:length])
    warm = Snapshot(store)
    while True:
        chain = rng.choice(["office", "office", "table-2", "tent"])
        asked = statements(rng, events)
        where = {"chain": chain, "seq": store.head(chain).seq + 1}
        where["clock"] = max(event["recorded"] for event in events)
        warm.follow()
        yield (
            accept(learned(events[:length]), asked, **where),
            accept(Known(ByIndex(store)), asked, **where),
            accept(Known(warm), asked, **where),
        )
        if length == len(events):
            return
        before, length = length, min(len(events), length + rng.randint(1, 9))
        put(store, events[:length], there=before)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_however_it_asks_acceptance_accepts_and_refuses_the_same(seed: int) -> None:
    for whole, asked, warm in outcomes(seed):
        assert asked == whole
        assert warm == whole


def test_the_statements_tried_are_accepted_and_refused_for_every_reason() -> None:
    found = Counter[str]()
    for seed in range(30):
        for (accepted, faults), *_ in outcomes(seed):
            found["accepted"] += len(accepted) - len({fault.line for fault in faults})
            found["looked up"] += sum("number" in one.data and bool(one.game) for one in accepted)
            found.update({fault.column for fault in faults})
            found["near"] += sum("Did you mean" in fault.right for fault in faults)
    assert not COLUMNS - found.keys(), found
    assert min(found["accepted"], found["looked up"], found["near"]) > 50, found


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 2**32 - 1), st.booleans())
def test_a_name_finds_the_events_that_belong_to_it_in_ledger_order(seed: int, warm: bool) -> None:
    events = random_season(seed)
    half = len(events) // 2
    store = store_of(events[:half])
    source = Snapshot(store) if warm else ByIndex(store)
    in_order = [
        (one.id, set(topics_of(one.event, one.id))) for one in sorted(stored_events(events))
    ]
    names = defaultdict[Topic, list[str]](list)
    for topic, name in {key for _, keys in in_order for key in keys}:
        names[topic].append(name)
    for topic in names:
        list(source.find(topic, names[topic][::2]))
    put(store, events, there=half)
    if isinstance(source, Snapshot):
        source.follow()
    for topic in names:
        for asked in (names[topic], names[topic][:1]):
            wanted = {(topic, name) for name in asked}
            found = [one.event for one in source.find(topic, asked) if wanted & set(one.topics)]
            assert found == [event for event, keys in in_order if wanted & keys], topic


Folder = Callable[..., Path]


@pytest.fixture
def store(folder: Folder) -> Iterator[SqliteStore]:
    with tiny_store(folder(day=day(says("close", game="g1", team="ash")))) as opened:
        yield opened


def state(kind: str, **fields: object) -> Statement:
    when = "2026-09-05T13:40:00.000Z"
    return KINDS[kind](**({"at": when, "entered": when, "by": "we"} | fields))


def enter(snapshot: Snapshot, *statements: Statement) -> list[str]:
    return record_alone(snapshot, statements, chain="office")


@contextmanager
def undone(snapshot: Snapshot) -> Iterator[Recording]:
    """A transaction that is broken off at the end of the block."""
    with suppress(KeyboardInterrupt), recording(snapshot) as entry:
        yield entry
        raise KeyboardInterrupt


WEIGH = state("weigh", game="g1", team="ash", player="b9", value="ok")
BY_NUMBER = state("weigh", game="g1", team="ash", number=9, value="ok")
NEW = state("enter_player", player="b9", name="Bo Yarrow", team="ash", number=9, ref="new")


def test_a_refused_statement_teaches_nothing(store: SqliteStore) -> None:
    snapshot = Snapshot(store)
    with pytest.raises(FolderError):
        enter(snapshot, NEW, state("close", game="g9", team="ash"))
    with pytest.raises(FolderError, match="player: found 'b9'"):
        enter(snapshot, WEIGH)
    with pytest.raises(FolderError, match="target: found 'new'"):
        enter(snapshot, state("withdraw", target="new", reason="a mistake"))
    assert len(enter(snapshot, NEW, WEIGH)) == 2


def test_what_was_undone_teaches_nothing(store: SqliteStore) -> None:
    """Two acts of one transaction see each other; when it is undone, nobody does."""
    snapshot = Snapshot(store)
    with undone(snapshot) as entry:
        entry.record([NEW], chain="office")
        entry.record([BY_NUMBER], chain="office")
    with pytest.raises(FolderError, match="number: found 9, which is not on the roster"):
        enter(snapshot, BY_NUMBER)
    with pytest.raises(FolderError, match="player: found 'b9'"):
        enter(snapshot, WEIGH)


def test_what_is_asked_for_in_an_undone_transaction_is_not_kept_from_it(store: SqliteStore) -> None:
    snapshot = Snapshot(store)
    with undone(snapshot) as entry:
        entry.record([NEW], chain="office")
        players = [one.stated.player for one in snapshot.find("moves", ["ash"])]
    assert players == ["a1", "a2"]
    assert players == [one.stated.player for one in snapshot.find("moves", ["ash"])]


@pytest.mark.parametrize("most", [0, 10_000])
def test_a_snapshot_follows_what_others_write(
    store: SqliteStore, tmp_path: Path, most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However far behind it is; a chain that has begun since too."""
    monkeypatch.setattr(snapshots, "MOST_BEHIND", most)
    snapshot = Snapshot(store)
    with pytest.raises(FolderError):
        enter(snapshot, WEIGH)
    other = open_store(tmp_path / "tiny.weighbook")
    record_alone(Snapshot(other), [NEW], chain="tent")
    other.close()
    enter(snapshot, WEIGH, BY_NUMBER)
    assert [stored.event.player for stored in store.events(kind=["weigh"])] == ["b9", "b9"]


def entries(rng: Random, ref: str) -> list[Statement]:
    """One or two entries that make names known, or need them, and are refused now and then."""
    child, old = f"b{rng.randint(3, 6)}", f"{rng.choice('xy')}{rng.randint(0, 30)}"
    team, number = rng.choice(["ash", "elm"]), rng.randint(1, 6)
    at = f"2026-09-05T13:{rng.randint(10, 59)}:00.000Z"
    kickoff = f"2026-09-05T1{rng.randint(3, 7)}:00:00.000Z"
    made = [
        state("enter_player", player=child, name="Bo Yarrow", team=team, number=number, ref=ref),
        state("weigh", game="g1", team=team, number=number, value="ok", ref=ref),
        state("weigh", game="g1", team=team, number=90, name="Wren Saltmarsh", value="ok"),
        state("roster_drop", team=team, player=child, at=at, ref=ref),
        state("number_change", team=team, player=child, number=number, at=at, ref=ref),
        state("game_change", game="g1", kickoff=kickoff, entered=at, reason="rain", ref=ref),
        state("appoint", value=child, name="Mo Harrowgate", to="weighmaster", team=team, ref=ref),
        state("case_open", case=f"c{number}", reason="other", ref=ref),
        state("withdraw", target=old, reason="a slip", ref=ref),
    ]
    return rng.sample(made, rng.choice([1, 1, 2]))


def known_by(source: Source, store: Store) -> dict[Topic, list[str]]:
    """The events that a source finds for every name of the ledger, by topic."""
    names = defaultdict[Topic, set[str]](set)
    for stored in store.events():
        for topic, name in topics_of(stored.event, stored.id):
            names[topic].add(name)
    return {
        topic: [one.event for one in source.find(topic, sorted(names[topic]))] for topic in names
    }


@pytest.mark.parametrize("seed", range(5))
def test_two_programs_in_turn_know_what_one_that_reads_anew_knows(
    backend: Backend, folder: Folder, seed: int
) -> None:
    rng, recorded = Random(seed), Counter[str]()
    stores = [backend.open(), backend.open()]
    with stores[0].writing() as writing:
        load_folder(writing, read_folder(folder()), chain="office")
    warm = [Snapshot(store) for store in stores]
    for turn in range(40):
        who = rng.randrange(2)
        try:
            ids = record_alone(warm[who], entries(rng, f"{'xy'[who]}{turn}"), chain=("x", "y")[who])
        except FolderError:
            ids = []
        recorded[f"{'xy'[who]} {'recorded' if ids else 'refused'}"] += 1
        if turn % 8 == 7:
            for snapshot in warm:
                snapshot.follow()
                anew = known_by(ByIndex(stores[0]), stores[0])
                assert known_by(snapshot, stores[0]) == anew
    assert min(recorded.values()) > 2, recorded
    for store in stores:
        store.close()


def test_one_statement_reads_little_of_a_season(
    sample_copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read = Counter[str]()
    event = Stored.event.fget

    def counted(stored: Stored) -> object:
        read["events"] += 1
        return event(stored)

    monkeypatch.setattr(Stored, "event", property(counted))
    store = open_store(sample_copy)
    snapshot = Snapshot(store)
    by = {"by": "newts-wm1"}
    weigh = state("weigh", game="acorn-1a", team="newts", number=5, value="ok", ref="one", **by)
    enter(snapshot, weigh)
    assert 0 < read["events"] < 100
    read.clear()
    enter(snapshot, weigh.model_copy(update={"ref": "two"}))
    assert read["events"] < 3
    store.close()
