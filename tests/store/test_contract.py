"""The contract of a store, for every database: the rules of the append by the numbers of
`ledger/store/store.py`, and what each way of reading gives.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from hashlib import sha256
from pathlib import Path

import pytest

from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.chain.hashing import BEGINNING, leaf_hash
from ledger.errors import InputError, StoreError
from ledger.record.accepted import Accepted
from ledger.record.folder import read_folder
from ledger.store import written
from ledger.store.loading import load_folder
from ledger.store.store import Head, Last, Row, Store, StoredCheckpoint
from tests.store.backends import Backend
from tests.tiny import day, says

CLOSE = Accepted("close", {}, at="2026-09-05T13:40:00.000Z", entered="2026-09-05T13:40:00.000Z",
                 by="we", game="g1", team="ash")  # fmt: skip
KEY = Accepted("chain_key", {"origin": "tiny/tent", "key": "k"})
LINES = (
    says("close", game="g1", team="ash", note="late", entered="2026-09-05T09:00"),
    says("weigh", game="g1", team="elm", number=1, value="ok"),
    says("roster_drop", team="elm", player="e2", by="rg"),
    says("close", game="g2", team="ash", at="2026-09-12T10:00", ref="second"),
    says("case_open", case="c1", reason="other", note="why"),
)
LENGTH = 25
"""Events of the tiny season with these lines."""


@pytest.fixture
def store(backend: Backend, folder: Callable[..., Path]) -> Iterator[Store]:
    """The tiny season."""
    opened = backend.open()
    with opened.writing() as writing:
        load_folder(writing, read_folder(folder(day=day(*LINES))), chain="office")
    yield opened
    opened.close()


@pytest.fixture
def other(backend: Backend) -> Iterator[Store]:
    """The same ledger, open in another program."""
    opened = backend.open()
    yield opened
    opened.close()


def append(store: Store, *bodies: Accepted, chain: str = "office") -> list[str]:
    with store.writing() as writing:
        return writing.append(bodies or [CLOSE], chain=chain)


def ids(store: Store, **where: list[str]) -> list[str]:
    return [stored.event.id for stored in store.events(**where)]


def everything(store: Store) -> tuple[object, ...]:
    """What is kept, as far as any method tells it."""
    return (
        list(store.events()),
        list(store.disclosures()),
        list(store.checkpoints()),
        store.exhibits(),
        [store.key(name) for name in ("k", "tiny/tent")],
    )


def row_like(event: Event, *, seq: int, prev: bytes) -> Row:
    """A row like this event's, at another place of its chain."""
    return Row(
        event.chain, seq, prev, b"!" * 32, "{}", event.kind, event.recorded, event.recorded,
        event.entered, event.game, event.team, event.player, None, None,
    )  # fmt: skip


def test_rule_1_one_writer_at_a_time(store: Store, other: Store) -> None:
    with store.writing() as writing:
        writing.append([CLOSE], chain="office")
        assert other.head("office").seq == LENGTH  # a reader sees the state before
        assert store.head("office").seq == LENGTH + 1  # and the writer its own
        with pytest.raises(StoreError, match="another program") as caught, other.writing():
            pass
        assert caught.value.hint.startswith("Nothing was recorded. Wait for it to end")
    assert append(other) == [f"office:{LENGTH + 2}"]


def test_rule_1_two_writers_in_turn_make_one_chain(store: Store, other: Store) -> None:
    for turn in range(6):
        append((store, other)[turn % 2])
    found = [stored.event for stored in store.events(chain=["office"])]
    assert [event.seq for event in found] == list(range(1, LENGTH + 7))
    assert [event.prev for event in found] == [BEGINNING, *store.hashes("office")[:-1]]


def test_rule_1_an_exception_undoes_the_whole_transaction(store: Store) -> None:
    before = everything(store)

    def break_off() -> None:
        with store.writing() as writing:
            writing.append([CLOSE], chain="office")
            off = Accepted("game_off", {}, {"reason": "rain"}, by="so")
            writing.append([KEY, off], chain="other")
            writing.keep_key("k", b"sealed")
            writing.keep_checkpoint(StoredCheckpoint("office", 3, "a note"))
            writing.keep_exhibit("0f" * 32, "sheet.txt", b"sheet")
            writing.drop_disclosures(["office:21"])
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        break_off()
    assert everything(store) == before
    assert append(store) == [f"office:{LENGTH + 1}"]


def test_rule_1_a_body_that_cannot_be_kept_keeps_none_of_them(store: Store) -> None:
    twice = Accepted("close", {"ref": "x"})
    with pytest.raises(StoreError):
        append(store, twice, twice)
    with pytest.raises(StoreError):
        append(store, CLOSE, Accepted("close", {"ref": "second"}))
    assert store.head("office").seq == LENGTH
    assert append(store, KEY, twice, chain="tent") == ["tent:1", "tent:2"]  # a ref is one chain's


def test_rule_1_what_is_committed_is_told_and_nothing_else(store: Store) -> None:
    """A person who stops the program is told what stays (`ledger.store.written`)."""
    written.WRITTEN.clear()
    append(store)

    def break_off() -> None:
        with store.writing() as writing:
            writing.append([CLOSE], chain="office")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        break_off()
    assert [f"office:{LENGTH + 1}"] == written.WRITTEN


def test_rule_2_seq_counts_and_prev_is_the_hash_before(store: Store) -> None:
    append(store)
    append(store, KEY, CLOSE, chain="tent")
    for chain, length in {"office": LENGTH + 1, "tent": 2}.items():
        before = BEGINNING
        for count, stored in enumerate(store.events(chain=[chain]), 1):
            event = stored.event
            assert (event.chain, event.seq, event.prev) == (chain, count, before)
            before = leaf_hash(stored.body.encode())
        assert (count, before) == store.head(chain)[:2] == (length, store.hashes(chain)[-1])
    assert store.lengths() == {"office": LENGTH + 1, "tent": 2}


def test_rule_2_nothing_is_written_to_a_chain_that_has_not_begun(store: Store) -> None:
    with pytest.raises(InputError, match=r"^no chain ofice in this ledger$"):
        append(store, chain="ofice")
    assert store.lengths() == {"office": LENGTH}


def test_rule_3_recorded_is_the_clock_under_the_lock_kept_as_read(
    store: Store, other: Store
) -> None:
    """Also where the clock went back: that is reported by the audit, not failed here."""
    inside = []

    def clock() -> str:
        with pytest.raises(StoreError, match="another program"), other.writing():
            pass
        inside.append("locked")
        return f"2026-09-05T13:40:0{9 - len(inside)}.000Z"

    store.clock = clock
    append(store, CLOSE, CLOSE)
    append(store)
    last = list(store.events_after("office", LENGTH))
    assert [stored.event.recorded[17:19] for stored in last] == ["08", "08", "07"]
    assert inside == ["locked", "locked"]
    assert len({stored.clock for stored in last}) == 1  # ledger order goes by the latest so far


@pytest.mark.parametrize("seq", [1, LENGTH, LENGTH + 1, LENGTH + 2])
@pytest.mark.parametrize("names", ["nobody", "the one before", "the last", "zeros"])
def test_rule_4_neither_a_fork_nor_a_gap_can_commit(
    backend: Backend, store: Store, seq: int, names: str
) -> None:
    last, end = store.event(f"office:{LENGTH}"), store.head("office").hash
    prev = {"nobody": b"?" * 32, "the one before": last.prev, "zeros": BEGINNING}
    row = row_like(last, seq=seq, prev=prev.get(names, end))
    if (seq, names) == (LENGTH + 1, "the last"):
        backend.force(store, row)  # the one row that may come next: the others differ from it
        return
    with pytest.raises(Exception, match=r"UNIQUE|names the one before it|does not follow"):
        backend.force(store, row)


def test_rule_5_events_and_checkpoints_outlast_what_is_erased_redacted_replaced(
    store: Store,
) -> None:
    with store.writing() as writing:
        writing.keep_checkpoint(StoredCheckpoint("office", 3, "a note"))
        writing.keep_checkpoint(StoredCheckpoint("office", 3, "another"))
        writing.keep_key("k", b"sealed")
        writing.keep_exhibit("0f" * 32, "sheet.txt", b"sheet")
        writing.keep_exhibit("0f" * 32, "again.txt", b"sheet")
    before, texts = list(store.events()), list(store.disclosures())
    with store.writing() as writing:
        assert writing.drop_disclosures(["office:21", "office:22", "office:25"]) == 2
        writing.keep_key("k", b"sealed anew")
        assert store.exhibits() == {"0f" * 32: "sheet.txt"}
        writing.drop_exhibit("0f" * 32)
    store.forget_free_space()
    assert list(store.events()) == before
    assert [kept.note for kept in store.checkpoints()] == ["a note", "another"]
    assert store.key("k") == b"sealed anew"
    assert store.exhibits() == {}
    gone = {"office:21", "office:25"}
    assert list(store.disclosures()) == [one for one in texts if one.event_id not in gone]


def test_events_come_in_ledger_order(store: Store) -> None:
    assert ids(store) == [f"office:{seq}" for seq in range(1, LENGTH + 1)]
    store.clock = lambda: "2026-01-01T00:00:00.000Z"  # as on a device whose clock is behind
    append(store, KEY, CLOSE, chain="tent")
    assert ids(store)[:2] == ["tent:1", "tent:2"]
    assert sorted(store.events(), reverse=True)[::-1] == list(store.events())


@pytest.mark.parametrize(
    ("where", "seqs"),
    [
        ({"kind": ["close"]}, [21, 24]),
        ({"kind": ["weigh", "close"]}, [21, 22, 24]),
        ({"game": ["g1"]}, [19, 21, 22]),
        ({"game": ["g1"], "kind": ["close"]}, [21]),
        ({"team": ["elm"], "outside_games": ["yes"]}, [5, 8, 9, 12, 23]),
        ({"player": ["e1", "e2"]}, [8, 9, 22, 23]),
        ({"kind": ["case_open"], "subject": ["c1"]}, [25]),
        ({"chain": ["office"], "ref": ["second", "third"]}, [24]),
        ({"chain": ["office"], "with_ref": ["yes"]}, [24]),
        ({"chain": ["tent"]}, []),
        ({"kind": []}, []),
    ],
)
def test_events_of_some_values(store: Store, where: dict[str, list[str]], seqs: list[int]) -> None:
    assert ids(store, **where) == [f"office:{seq}" for seq in seqs]


def test_an_unknown_filter_is_a_mistake_of_the_program(store: Store) -> None:
    with pytest.raises(ValueError, match="no filter"):
        list(store.events(body=["x"]))


def test_events_by_their_ids_in_that_order(store: Store) -> None:
    asked = ["office:24", "office:1"]
    assert [stored.id for stored in store.events_by_id(asked)] == asked
    assert store.event("office:24").data["ref"] == "second"
    for unknown in ("office:99", "tent:1", "nonsense"):
        with pytest.raises(InputError, match=f"no event {unknown} in this ledger"):
            store.event(unknown)


def test_statements_entered_last_come_first(store: Store) -> None:
    def seqs(**until: str) -> list[int]:
        return [stored.event.seq for stored in store.entered_last(**until)]

    assert seqs() == [24, 21, 25, 23, 22]
    assert seqs(as_of="2026-09-05T13:40:00.000Z") == [25, 23, 22]
    assert seqs(known_at="2026-01-01T00:00:00.000Z") == []


def test_the_ends_of_chains(store: Store) -> None:
    last = list(store.events())[-1]
    assert store.head("office") == Head(LENGTH, store.hashes("office")[-1], last.clock)
    assert store.head("tent") == Head(0, BEGINNING)
    assert store.last() == Last(f"office:{LENGTH}", store.head("office").hash, last.event.recorded)
    assert store.hashes("office", after=LENGTH - 1) == [store.head("office").hash]
    assert store.hashes("tent") == []
    assert store.count_by_game() == {"g1": 3, "g2": 2}


def test_a_ledger_without_events(backend: Backend) -> None:
    store = backend.open()
    with pytest.raises(StoreError, match="has no events"):
        store.last()
    assert (list(store.events()), store.lengths()) == ([], {})
    store.close()


def test_disclosures_of_some_events_or_of_all(store: Store) -> None:
    assert [d.field for d in store.disclosures(["office:25", "office:21"])] == ["note", "note"]
    assert [open_disclosure(d.text).value for d in store.disclosures(["office:25"])] == ["why"]
    assert list(store.disclosures(["office:22", "tent:1"])) == []
    every = list(store.disclosures())
    assert len(every) == 5 + 8 + 2  # names of players and officials, notes
    assert every == sorted(every, key=lambda d: (d.chain, d.seq, d.field))


def test_a_file_handed_in_is_given_back_by_its_digest(store: Store) -> None:
    digest = sha256(b"sheet").hexdigest()
    with store.writing() as writing:
        writing.keep_exhibit(digest, "sheet.txt", b"sheet")
    assert store.exhibits() == {digest: "sheet.txt"}
    assert store.exhibit(digest) == ("sheet.txt", b"sheet")
    assert store.exhibit("0f" * 32) is None
