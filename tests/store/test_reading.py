"""Reading the store: filters, order, ends of chains, and what is kept outside the chain."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from hashlib import sha256
from pathlib import Path

import pytest

from ledger.chain.disclosure import digest_of, open_disclosure
from ledger.chain.hashing import BEGINNING
from ledger.errors import IntegrityError, StoreError
from ledger.store.opening import open_or_make, open_store
from ledger.store.sqlite.store import SqliteStore
from ledger.store.store import Head, Last
from tests.tiny import body_texts, day, says, tiny_store

Folder = Callable[..., Path]


@pytest.fixture
def store(folder: Folder) -> Iterator[SqliteStore]:
    lines = [
        says("close", game="g1", team="ash", note="late", entered="2026-09-05T09:00"),
        says("weigh", game="g1", team="elm", number=1, value="ok"),
        says("roster_drop", team="elm", player="e2", by="rg"),
        says("close", game="g2", team="ash", at="2026-09-12T10:00"),
        says("case_open", case="c1", reason="other", note="why"),
    ]
    with tiny_store(folder(day=day(*lines))) as opened:
        yield opened


def ids(store: SqliteStore, **where: list[str]) -> list[str]:
    return [stored.event.id for stored in store.events(**where)]


def test_events_come_in_ledger_order(store: SqliteStore) -> None:
    assert ids(store) == [f"office:{seq}" for seq in range(1, 26)]
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
        ({"chain": ["tent"]}, []),
        ({"kind": []}, []),
    ],
)
def test_events_of_some_values(
    store: SqliteStore, where: dict[str, list[str]], seqs: list[int]
) -> None:
    assert ids(store, **where) == [f"office:{seq}" for seq in seqs]


def test_a_file_handed_in_is_given_back_by_its_digest(store: SqliteStore) -> None:
    digest = sha256(b"sheet").hexdigest()
    with store.writing() as writing:
        writing.keep_exhibit(digest, "sheet.txt", b"sheet")
    assert store.exhibits() == {digest: "sheet.txt"}
    assert store.exhibit(digest) == ("sheet.txt", b"sheet")
    assert store.exhibit("0f" * 32) is None


def test_an_unknown_filter_is_a_mistake_of_the_program(store: SqliteStore) -> None:
    with pytest.raises(ValueError, match="no filter"):
        list(store.events(body=["x"]))


def test_statements_entered_last_come_first(store: SqliteStore) -> None:
    def seqs(**until: str) -> list[int]:
        return [stored.event.seq for stored in store.entered_last(**until)]

    assert seqs() == [24, 21, 25, 23, 22]
    assert seqs(as_of="2026-09-05T13:40:00.000Z") == [25, 23, 22]
    assert seqs(known_at="2026-01-01T00:00:00.000Z") == []


def test_the_ends_of_chains(store: SqliteStore) -> None:
    last = list(store.events())[-1]
    assert store.head("office") == Head(25, store.hashes("office")[-1], last.clock)
    assert store.head("tent") == Head(0, BEGINNING)
    assert store.last() == Last("office:25", store.head("office").hash, last.event.recorded)
    assert store.lengths() == {"office": 25}
    assert store.count_by_game() == {"g1": 3, "g2": 2}


def test_a_ledger_without_events_has_no_last(tmp_path: Path) -> None:
    with open_or_make(tmp_path / "new.weighbook") as store:
        with pytest.raises(StoreError, match="holds no events"):
            store.last()
        assert list(store.events()) == []


def test_disclosures_of_some_events_or_of_all(store: SqliteStore) -> None:
    assert [d.field for d in store.disclosures(["office:25", "office:21"])] == ["note", "note"]
    assert [open_disclosure(d.text).value for d in store.disclosures(["office:25"])] == ["why"]
    assert list(store.disclosures(["office:22", "tent:1"])) == []
    every = list(store.disclosures())
    assert len(every) == 5 + 8 + 2  # names of players and officials, notes
    assert every == sorted(every, key=lambda d: (d.chain, d.seq, d.field))


def test_every_disclosure_is_the_one_its_event_names(sample_ledger: Path) -> None:
    store = open_store(sample_ledger)
    named = {
        (stored.event.id, field): digest
        for stored in store.events()
        for field, digest in stored.event.data.get("digests", {}).items()
    }
    kept = {(f"{d.chain}:{d.seq}", d.field): digest_of(d.text) for d in store.disclosures()}
    store.close()
    assert kept == named
    assert len(kept) > 200


def test_a_body_that_was_spoilt_is_an_integrity_error(store: SqliteStore) -> None:
    store.connection.execute("drop trigger event_update")
    store.connection.execute("update event set body = '{' where seq = 22")
    with pytest.raises(IntegrityError, match="office:22 is not as it was written") as caught:
        [stored.event for stored in store.events()]
    assert caught.value.exit_status == 1
    assert caught.value.hint.startswith("weighbook audit says what was changed")


def test_no_personal_text_is_in_any_event(sample_ledger: Path) -> None:
    """Names, notes and free reasons of the sample season, every one of them."""
    store = open_store(sample_ledger)
    bodies = body_texts(store)
    texts = {open_disclosure(row.text).value for row in store.disclosures()}
    store.close()
    assert len(texts) > 200
    assert [text for text in texts if text in bodies] == []
