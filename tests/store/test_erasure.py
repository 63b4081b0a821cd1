"""Erasing a child: the text goes from every file, the chain and its audit stay whole."""

from pathlib import Path

import pytest

from ledger.audit.audit import audit_file
from ledger.errors import InputError, RuleError
from ledger.papers.press.heads import Heads
from ledger.papers.press.render import render_sheet
from ledger.papers.sheets.lists import list_sheet
from ledger.record.folder import read_folder
from ledger.say.names import ERASED
from ledger.store.erasure import erase, events_of_child, redact
from ledger.store.loading import load_folder
from ledger.store.mentions import Mentions
from ledger.store.not_erased import out_of_reach
from ledger.store.retention import due_texts
from ledger.store.sqlite.store import SqliteStore
from tests.make_sample_season import FOLDER
from tests.signed_season import season

# In the sample season: a child of the newts, listed over in acorn-1a.
CHILD, NAME, GAME, TEAM = "k141", "Bruno Wolkenfänger", "acorn-1a", "newts"


def _erase(store: SqliteStore) -> None:
    events = events_of_child(store, CHILD)
    erase(store, events, player=CHILD, by="registrar", reason="asked", chain="office")


def _bytes_of(path: Path) -> bytes:
    return b"".join(file.read_bytes() for file in sorted(path.parent.glob(f"{path.name}*")))


def test_no_byte_of_the_name_is_left(tmp_path: Path) -> None:
    path = tmp_path / "season.weighbook"
    with season(path) as store:
        disclosures = [d.text for d in store.disclosures() if f"{d.chain}:{d.seq}" in _ids(store)]
        assert all(text.encode() in _bytes_of(path) for text in disclosures)
        _erase(store)
        left = _bytes_of(path)  # with the write-ahead log, while the ledger is still open
    assert disclosures
    assert not any(text.encode() in left for text in disclosures)
    assert not any(word.encode() in left for word in NAME.split())


def _ids(store: SqliteStore) -> set[str]:
    return {event.id for event in events_of_child(store, CHILD)}


def test_a_new_paper_says_erased_and_holds_no_name(tmp_path: Path) -> None:
    with season(tmp_path / "season.weighbook") as store:
        _erase(store)
        sheet = list_sheet(Heads(store), GAME, TEAM)
        lines = sheet.context["paper"].lines
        assert [line.name for line in lines if line.number == 5] == [ERASED]
        render_sheet(sheet, tmp_path / "list.pdf")
    import pypdfium2

    document = pypdfium2.PdfDocument(tmp_path / "list.pdf")
    text = " ".join(page.get_textpage().get_text_range() for page in document)
    document.close()
    assert ERASED in text
    assert not any(word in text for word in NAME.split())


def test_the_audit_still_passes(tmp_path: Path) -> None:
    path = tmp_path / "season.weighbook"
    with season(path) as store:
        _erase(store)
    report = audit_file(path, on_start=lambda n: None, on_step=lambda n: None)
    assert report.problems == []


def test_loading_the_old_folder_again_does_not_bring_it_back(tmp_path: Path) -> None:
    path = tmp_path / "season.weighbook"
    with season(path) as store:
        _erase(store)
        with store.writing() as writing:
            count = load_folder(writing, read_folder(FOLDER), chain="office")
        assert (count.rows_added, count.lines_added) == (0, 0)
        assert not any(word.encode() in _bytes_of(path) for word in NAME.split())


def test_what_cannot_be_reached_is_named(tmp_path: Path) -> None:
    with season(tmp_path / "season.weighbook") as store:
        rest = out_of_reach(store, CHILD, events_of_child(store, CHILD))
        assert rest.files == ("players.csv",)
        assert (rest.exhibits, rest.notes, rest.mentions) == ((), (), Mentions())
        # The case late-plays is about this child; its exhibit and notes may name anybody.
        about = next(s.event for s in store.events(kind=["case_open"], subject=["late-plays"]))
        assert about.player is not None
        rest = out_of_reach(store, about.player, events_of_child(store, about.player))
    assert [(kept.name, kept.what) for kept in rest.exhibits] == [("sheet.txt", "exhibit")]
    assert rest.notes


def test_erasing_twice_says_so(tmp_path: Path) -> None:
    with season(tmp_path / "season.weighbook") as store:
        _erase(store)
        with pytest.raises(RuleError, match="nothing left"):
            _erase(store)


def test_an_unknown_child_or_official_is_refused(tmp_path: Path) -> None:
    with season(tmp_path / "season.weighbook") as store:
        with pytest.raises(InputError, match="no player"):
            events_of_child(store, "k999")
        with pytest.raises(InputError, match="no official"):
            erase(store, events_of_child(store, CHILD), by="nobody", reason="x", chain="office")


def test_a_redacted_copy_takes_an_exhibits_place(tmp_path: Path) -> None:
    path = tmp_path / "season.weighbook"
    with season(path) as store:
        (before,) = store.exhibits()
        arguments = {"by": "registrar", "reason": "a name", "chain": "office"}
        event_id = redact(store, before, b"blackened", "copy.txt", **arguments)
        (event,) = (stored.event for stored in store.events_by_id([event_id]))
        assert event.data["before"] == before
        assert list(store.exhibits()) == [event.data["after"]]
        with pytest.raises(InputError, match="no exhibit"):
            redact(store, before, b"again", "copy.txt", **arguments)


def test_retention_by_the_leagues_rule(tmp_path: Path) -> None:
    with season(tmp_path / "season.weighbook", signed=False) as store:
        assert due_texts(store, "2027-06-30").events == ()  # the sample's keep_personal_until
        due = due_texts(store, "2027-07-01")
        assert len(list(store.disclosures())) == due.texts
        erase(store, due.events, by="registrar", rule="keep_personal_until", chain="office")
        assert list(store.disclosures()) == []
        assert "none are left" in due_texts(store, "2027-07-01").sentence
        with pytest.raises(InputError, match="--on"):
            due_texts(store, "July")
