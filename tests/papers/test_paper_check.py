"""A paper held against its ledger: the same, or where it differs, or why that cannot be said."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.fields import SigFieldSpec
from pyhanko.sign.signers import PdfSignatureMetadata, sign_pdf

from ledger.audit.audit import audit
from ledger.audit.kept import read_kept
from ledger.chain.canonical import canonical
from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.event import Event
from ledger.chain.hashing import leaf_hash
from ledger.chain.note import parse_note
from ledger.errors import InputError, IntegrityError
from ledger.papers import behind, hold, lists, sealing
from ledger.papers.books import blank_book_sheet, book_sheet
from ledger.papers.cards import card_sheet
from ledger.papers.case_forms import blank_case_sheet
from ledger.papers.desk import Sheet
from ledger.papers.heads import Heads
from ledger.papers.hold import Held, hold_paper
from ledger.papers.hold_words import as_json, sentence
from ledger.papers.lists import blank_sheet, list_sheet
from ledger.papers.packets import packet_sheet
from ledger.papers.pades import open_certificate
from ledger.papers.paper_file import parse_paper
from ledger.papers.receipts import receipt_sheet
from ledger.papers.render import typeset_sheet
from ledger.papers.season import season_sheet
from ledger.papers.versions import versions
from ledger.papers.weeks import find_week, lay_week
from ledger.record.accepted import Accepted
from ledger.record.times import now_utc
from ledger.store.chains import begin_chain
from ledger.store.erasure import erase, events_of_child
from ledger.store.sqlite import SqliteStore
from tests.papers import spoiling
from tests.papers.certificates import LEAGUE, NOW, PASSPHRASE, as_pkcs12, issue, make_root
from tests.signed_season import CASE, CHAIN, GAME, season
from tests.signed_season import receipt as taken_home

AT = "2026-09-07T18:00:00.000Z"
SHEETS: dict[str, Callable[[SqliteStore], Sheet]] = {
    "list": lambda store: list_sheet(store, GAME, "newts", heads=at(store)),
    "list as of": lambda store: list_sheet(
        store, GAME, "newts", as_of="2026-09-05T13:49:00.000Z", heads=at(store)
    ),
    "blank list": lambda store: blank_sheet(store, "newts", heads=at(store)),
    "book": lambda store: book_sheet(store, "newts", known_at=AT, heads=at(store)),
    "blank book": lambda store: blank_book_sheet(store, "newts", heads=at(store)),
    "blank book of no team": lambda store: blank_book_sheet(store, heads=at(store)),
    "card": lambda store: card_sheet(store, heads=at(store)),
    "card of a game": lambda store: card_sheet(store, GAME, heads=at(store)),
    "receipt": lambda store: receipt_sheet(store, signature_with_key(store), heads=at(store)),
    "receipt of a sheet": lambda store: receipt_sheet(
        store, next(iter(store.events(kind=["countersign"], game=[GAME]))).event.id, heads=at(store)
    ),
    "blank case": lambda store: blank_case_sheet(store, heads=at(store)),
    "review packet": lambda store: packet_sheet(store, CASE, "review_packet", heads=at(store)),
    "protest packet": lambda store: packet_sheet(store, CASE, "protest_packet", heads=at(store)),
    "season summary": lambda store: season_sheet(store, heads=at(store)),
}


def signature_with_key(store: SqliteStore) -> str:
    found = [stored.event for stored in store.events(kind=["countersign"], game=[GAME])]
    return next(event.id for event in found if event.data.get("how") == "key")


def at(store: SqliteStore) -> Heads:
    return Heads(store, printed_at=AT)


@pytest.fixture(scope="module")
def paper(signed: SqliteStore) -> bytes:
    """A list of one page."""
    return typeset_sheet(SHEETS["list"](signed))


@contextmanager
def copied(path: Path, signed: SqliteStore) -> Iterator[SqliteStore]:
    """A copy of that very ledger, to be written to."""
    with season(path) as store:
        assert store.last() == signed.last()
        yield store


def where(held: Held) -> tuple[str, int | None, int | None]:
    assert held.difference
    return held.verdict, held.difference.page, held.difference.line


@pytest.mark.parametrize("name", SHEETS)
def test_every_paper_is_the_same_when_it_is_made_again(name: str, signed: SqliteStore) -> None:
    held = hold_paper(signed, typeset_sheet(SHEETS[name](signed)))
    assert (held.verdict, held.signed, held.ok) == ("same", True, True)
    assert held.paper.printed_at == AT
    assert "prints exactly this file" in sentence(held)


def test_what_paper_json_holds(signed: SqliteStore, paper: bytes) -> None:
    told = json.loads(spoiling.attached(paper, "paper.json"))
    assert told == {
        "form": 1,
        "document": "ineligible_list",
        "arguments": {"game": GAME, "team": "newts"},
        "printed_at": AT,
        "chain": CHAIN,
        "chains": told["chains"],
        "keys": [CHAIN],
        "values": told["values"],
        "files": {},
        "made_by": dict(versions()),
    }
    assert told["chains"][CHAIN]["size"] == signed.head(CHAIN).seq
    assert {"weighbook", "templates", "WeasyPrint", "pydyf", "Pango", "HarfBuzz", "fonttools",
            "fonts", "pikepdf", "qpdf", "zlib"} <= told["made_by"].keys()  # fmt: skip


def test_its_checkpoint_names_it_and_the_lists_number(paper: bytes, signed: SqliteStore) -> None:
    """A note of the chain alone, of the same root as the receipts': it contradicts none."""
    note = parse_note(spoiling.attached(paper, "checkpoint.txt"))
    checkpoint = parse_checkpoint(note.text)
    (by,) = note.signatures
    number = list_sheet(signed, GAME, "newts").context["paper"].digest
    content = spoiling.attached(paper, "paper.json")
    assert by.name == checkpoint.origin
    assert checkpoint.extensions == (
        f"weighbook-paper {sealing.sha256(content).hexdigest()}",
        f"weighbook-list {number}",
    )
    assert checkpoint.root.hex() == parse_paper(content).chains[CHAIN]["root"]


def test_no_name_is_in_paper_json(signed: SqliteStore) -> None:
    for name in ("list", "review packet"):
        (content,) = (
            file.content.decode()
            for file in SHEETS[name](signed).attachments
            if file.name == "paper.json"
        )
        assert not any(word in content for word in ("Bruno", "Wolkenfänger", "Eggleplum"))


def test_a_receipt_bears_the_cosigned_note_and_its_own(signed: SqliteStore, tmp_path: Path) -> None:
    sheet = SHEETS["receipt"](signed)
    files = {file.name: file.content for file in sheet.attachments}
    assert files["checkpoint.txt"] == taken_home()
    own = parse_checkpoint(parse_note(files["paper-checkpoint.txt"]).text)
    assert own.size == signed.head(CHAIN).seq
    assert own.extensions == sheet.extensions
    (tmp_path / "receipt.pdf").write_bytes(typeset_sheet(sheet))
    kept = read_kept(tmp_path / "receipt.pdf")
    assert len(kept) == 2
    assert audit(signed.connection, since=kept).problems == []


def test_papers_of_a_day_are_the_papers_one_by_one(signed: SqliteStore) -> None:
    for name, sheet in list(lay_week(signed, find_week(signed, 1)))[:7]:
        asked = parse_paper(sheet.attachments[-1].content)
        again = hold.make_again(
            Heads(signed, printed_at=asked.printed_at), asked.document, asked.arguments
        )
        assert again == sheet, name


# What is done to the file


def test_a_row_that_was_whited_out(signed: SqliteStore, paper: bytes, tmp_path: Path) -> None:
    """The audit of the checkpoint in it passes, and says that this is all that it looked at."""
    spoilt = spoiling.edited(paper, spoiling.white_out)
    held = hold_paper(signed, spoilt)
    assert where(held) == ("differs", 1, None)
    assert "the text is the same, but something else on it is not" in sentence(held)
    (tmp_path / "list.pdf").write_bytes(spoilt)
    report = audit(signed.connection, since=read_kept(tmp_path / "list.pdf"))
    assert report.problems == []
    (told, *_) = report.steps[6].notes
    assert told.startswith("list.pdf: the checkpoint in it is of the first 7,305 events of ")
    assert told.endswith(
        "This says nothing about what is printed on it: weighbook check list.pdf does"
    )


def test_another_teams_page(signed: SqliteStore, paper: bytes, tmp_path: Path) -> None:
    other = typeset_sheet(list_sheet(signed, GAME, "marmots", heads=at(signed)))
    spoilt = spoiling.edited(paper, spoiling.take_page_of(other))
    held = hold_paper(signed, spoilt)
    assert where(held) == ("differs", 1, 2)
    assert held.difference
    assert held.difference.paper == "Ineligible list: Mossbottom Marmots"
    assert held.difference.ledger == "Ineligible list: Glimmerfen Newts"
    assert "It differs at page 1, line 2" in sentence(held)
    (tmp_path / "list.pdf").write_bytes(spoilt)
    assert audit(signed.connection, since=read_kept(tmp_path / "list.pdf")).problems == []


def test_a_name_that_is_not_printed_any_more(signed: SqliteStore, paper: bytes) -> None:
    held = hold_paper(signed, spoiling.edited(paper, spoiling.take_out_a_line))
    verdict, page, line = where(held)
    assert (verdict, page) == ("differs", 1)
    assert line
    assert held.difference
    assert len(held.difference.paper) < len(held.difference.ledger)


def test_a_page_that_was_taken_out(signed: SqliteStore) -> None:
    pdf = typeset_sheet(SHEETS["blank list"](signed))
    held = hold_paper(signed, spoiling.edited(pdf, spoiling.take_out_the_last_page))
    assert held.verdict == "differs"
    assert held.difference
    assert held.difference.page in (1, 2)  # page 1 says "of 2"


def test_a_note_laid_over_the_page(signed: SqliteStore, paper: bytes) -> None:
    held = hold_paper(signed, spoiling.edited(paper, spoiling.add_a_note))
    assert where(held) == ("differs", 1, None)


def test_a_paper_saved_again_is_not_the_same_bytes(signed: SqliteStore, paper: bytes) -> None:
    held = hold_paper(signed, spoiling.edited(paper, spoiling.change_nothing))
    assert where(held) == ("differs", None, None)
    assert "the pages are the same" in sentence(held)


def test_a_changed_byte(signed: SqliteStore, paper: bytes) -> None:
    """In a comment, which no program reads; and in what is behind the last object."""
    comment = paper.index(b"%", 1)
    for place in (comment + 1, len(paper) - 2):
        spoilt = paper[:place] + bytes([paper[place] ^ 1]) + paper[place + 1 :]
        assert hold_paper(signed, spoilt).verdict == "differs"


def test_another_paper_json_is_not_what_the_checkpoint_names(
    signed: SqliteStore, paper: bytes
) -> None:
    content = spoiling.attached(paper, "paper.json").replace(b'"newts"', b'"marmots"')
    held = hold_paper(signed, spoiling.edited(paper, spoiling.attach("paper.json", content)))
    assert where(held) == ("differs", None, None)
    assert "signed for another paper" in sentence(held)


def test_without_its_checkpoint(signed: SqliteStore, paper: bytes) -> None:
    def strip(document: spoiling.pikepdf.Pdf) -> None:
        del document.attachments["checkpoint.txt"]

    assert hold_paper(signed, spoiling.edited(paper, strip)).verdict == "differs"


# What stands behind the printed bytes

ROOT = make_root()
CERTIFICATE = as_pkcs12(issue(ROOT, LEAGUE))


def signed_by_league(pdf: bytes) -> bytes:
    return open_certificate(CERTIFICATE, PASSPHRASE, now=NOW).sign(pdf)


def test_one_signature_behind_it_is_named_apart(signed: SqliteStore, paper: bytes) -> None:
    held = hold_paper(signed, signed_by_league(paper))
    assert (held.verdict, held.signer, held.ok) == ("same_signed", LEAGUE, True)
    assert f"one signature by {LEAGUE}" in sentence(held)
    assert as_json(held)["signed_by"] == LEAGUE


def seen(pdf: bytes) -> bytes:
    """A signature with a box of its own on the page."""
    out = io.BytesIO()
    signer = open_certificate(CERTIFICATE, PASSPHRASE, now=NOW).signer
    about = PdfSignatureMetadata(field_name="Seen", subfilter=spoiling_subfilter())
    field = SigFieldSpec("Seen", on_page=0, box=(40, 500, 580, 540))
    sign_pdf(IncrementalPdfFileWriter(io.BytesIO(pdf)), about, signer, new_field_spec=field,
             output=out)  # fmt: skip
    return out.getvalue()


def spoiling_subfilter() -> object:
    from pyhanko.sign.fields import SigSeedSubFilter

    return SigSeedSubFilter.PADES


BEHIND: dict[str, Callable[[bytes], bytes]] = {
    "a few bytes": lambda pdf: pdf + b"\n%x",
    "a rectangle": spoiling.continued,
    "a rectangle, then a signature": lambda pdf: signed_by_league(spoiling.continued(pdf)),
    "a signature, then a rectangle": lambda pdf: spoiling.continued(signed_by_league(pdf)),
    "a signature, then bytes": lambda pdf: signed_by_league(pdf) + b"\n%x",
    "a signature that is seen": seen,
    "a signature that was changed": lambda pdf: signed_by_league(pdf).replace(
        LEAGUE.encode(), LEAGUE.upper().encode()
    ),
}


@pytest.mark.parametrize("name", BEHIND)
def test_whatever_else_stands_behind_it_is_never_the_same(
    name: str, signed: SqliteStore, paper: bytes
) -> None:
    spoilt = BEHIND[name](paper)
    assert spoilt.startswith(paper)
    held = hold_paper(signed, spoilt)
    assert held.verdict == "differs"
    assert "stand behind what was printed" in sentence(held)


def test_without_pyhanko_the_signature_could_not_be_looked_at(
    signed: SqliteStore, paper: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    spoilt = signed_by_league(paper)
    monkeypatch.setitem(sys.modules, "pyhanko.sign.validation", None)
    assert behind.look_behind(spoilt, paper).signer == ""
    held = hold_paper(signed, spoilt)
    assert held.verdict == "differs"
    assert "could not be looked at: pyHanko is not installed" in sentence(held)


# What is with the ledger


def test_what_was_written_later_does_not_matter(
    signed: SqliteStore, paper: bytes, tmp_path: Path
) -> None:
    """A later listing in the same game, a withdrawal of an earlier one, and a chain of its own."""
    with copied(tmp_path / "season.weighbook", signed) as store:
        (league,) = (stored.event.data for stored in store.events(kind=["league"]))
        listed = [stored.event for stored in store.events(kind=["list"], game=[GAME])]
        now = now_utc()
        later = Accepted("list", {"reason": "injured"}, at=now, entered=now, by="newts-wm1",
                         game=GAME, team="newts", player=listed[0].player)  # fmt: skip
        gone = Accepted("withdraw", {"target": listed[0].id}, at=now, entered=now,
                        by=listed[0].by, game=GAME)  # fmt: skip
        with store.writing() as writing:
            writing.append([later, gone], chain=CHAIN)
            begin_chain(writing, "tablet", league)
            writing.append([later], chain="tablet")
        fresh = typeset_sheet(SHEETS["list"](store))
        assert fresh != paper
        assert hold_paper(store, fresh).verdict == "same"
        assert hold_paper(store, paper).verdict == "same"


def erased(store: SqliteStore, player: str) -> None:
    erase(store, events_of_child(store, player), by="registrar", chain=CHAIN, player=player)


def test_erased_since(signed: SqliteStore, paper: bytes, tmp_path: Path) -> None:
    """A child that is not on the paper does not matter; one that is cannot be brought back."""
    shown = {stored.event.player for stored in signed.events(kind=["list"], game=[GAME])}
    others = {stored.event.player for stored in signed.events(kind=["player"])} - shown
    child = next(
        stored.event.player for stored in signed.events(kind=["list"], game=[GAME], team=["newts"])
    )
    with copied(tmp_path / "season.weighbook", signed) as store:
        erased(store, min(str(other) for other in others))
        assert hold_paper(store, paper).verdict == "same"
        erased(store, str(child))
        held = hold_paper(store, paper)
    assert (held.verdict, held.ok) == ("not_comparable", False)
    assert f"texts were erased since ({CHAIN}:7306, {CHAIN}:7307)" in sentence(held)


def test_made_by_other_versions(
    signed: SqliteStore, paper: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = {**versions(), "Pango": "1.0", "templates": "0" * 64}
    monkeypatch.setattr(hold, "versions", lambda: other)
    held = hold_paper(signed, paper)
    assert (held.verdict, held.values_agree, held.ok) == ("other_versions", True, False)
    assert [(name, here) for name, _, here in held.others] == [
        ("Pango", "1.0"), ("templates", "0" * 64),
    ]  # fmt: skip
    assert "what is printed was not compared" in sentence(held)
    monkeypatch.setattr(lists, "meaning_of", lambda team, side: "Seen.")
    held = hold_paper(signed, paper)
    assert (held.verdict, held.values_agree) == ("other_versions", False)


def test_another_ledger_of_the_same_league(paper: bytes, tmp_path: Path) -> None:
    """The same season folder, loaded by somebody else: other salts, another key."""
    with season(tmp_path / "season.weighbook", signed=False) as store:
        held = hold_paper(store, paper)
    assert where(held) == ("differs", None, None)
    assert "its checkpoint is not one of this ledger" in sentence(held)


def rewritten(store: SqliteStore, event: Event) -> None:
    """The event's initials are others, its hash too: what is whole in itself, and another."""
    store.connection.execute("drop trigger event_update")
    (stored,) = store.events_by_id([event.id])
    body = json.loads(stored.body)
    body["entered"] = body["recorded"]
    made = canonical(body)
    store.connection.execute(
        "update event set body = ?, hash = ? where chain = ? and seq = ?",
        (made.decode(), leaf_hash(made), event.chain, event.seq),
    )


def test_a_ledger_that_was_rewritten(signed: SqliteStore, paper: bytes, tmp_path: Path) -> None:
    with copied(tmp_path / "season.weighbook", signed) as store:
        rewritten(store, next(iter(store.events(kind=["list"], game=["oak-1b"]))).event)
        held = hold_paper(store, paper)
    assert where(held) == ("differs", None, None)
    assert "another history of the first 7,305 events of office" in sentence(held)


def test_a_ledger_that_was_cut(signed: SqliteStore, paper: bytes, tmp_path: Path) -> None:
    with copied(tmp_path / "season.weighbook", signed) as store:
        store.connection.execute("drop trigger event_delete")
        store.connection.execute("delete from event where seq > 7000")
        held = hold_paper(store, paper)
    assert "made from 7,305 events of office; this ledger has 7,000" in sentence(held)


def test_a_ledger_that_is_not_what_its_hashes_say(
    signed: SqliteStore, paper: bytes, tmp_path: Path
) -> None:
    """Somebody changed a listing, or a name, in the file alone, to fit a paper of his own."""
    with copied(tmp_path / "season.weighbook", signed) as store:
        store.connection.execute("drop trigger event_update")
        (listed, *_) = (one.event for one in store.events(kind=["list"], game=[GAME]))
        store.connection.execute(
            'update event set body = replace(body, \'"reason":"over"\', \'"reason":"other"\')'
            " where seq = ?",
            (listed.seq,),
        )
        with pytest.raises(IntegrityError, match=f"the event {listed.id} in this ledger is not"):
            hold_paper(store, paper)


def test_a_copy_without_the_keys(signed: SqliteStore, paper: bytes, tmp_path: Path) -> None:
    """It checks papers of the device that has them; its own are signed by nobody, and say so."""
    packet = typeset_sheet(SHEETS["review packet"](signed))
    with copied(tmp_path / "copy.weighbook", signed) as store:
        store.connection.execute("delete from key")
        assert hold_paper(store, paper).verdict == "same"
        held = hold_paper(store, packet)
        own = typeset_sheet(SHEETS["receipt"](store))
        assert hold_paper(store, own).verdict == "same"
    if held.verdict != "same":  # no key is needed where a cosigned checkpoint covers all
        assert held.verdict == "not_comparable"
        assert held.reason.startswith("the key of office, which its proof is signed with, is not")
    again = hold_paper(signed, own)
    assert (again.verdict, again.signed) == ("same", False)
    assert "No key of the ledger signed for it" in sentence(again)


# What is no paper


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda content: b"{}", "form that is not known"),
        (lambda content: b"text", "cannot be read"),
        (lambda content: content.replace(b'"form":1', b'"form":2'), "form that is not known"),
        (lambda content: content.replace(b'"size":', b'"size":-'), "not as weighbook writes it"),
        (lambda content: content + b" ", "cannot be read"),
    ],
)
def test_another_paper_json(
    change: Callable[[bytes], bytes], told: str, signed: SqliteStore, paper: bytes
) -> None:
    content = change(spoiling.attached(paper, "paper.json"))
    with pytest.raises(InputError, match=told) as caught:
        hold_paper(signed, spoiling.edited(paper, spoiling.attach("paper.json", content)))
    assert caught.value.hint


def test_a_pdf_that_is_no_paper(signed: SqliteStore) -> None:
    plain = typeset_sheet(replace(SHEETS["card"](signed), attachments=()))
    with pytest.raises(InputError, match=r"no paper\.json in this PDF") as caught:
        hold_paper(signed, plain)
    assert "print the paper again" in caught.value.hint
    with pytest.raises(InputError, match="the PDF cannot be read"):
        hold_paper(signed, b"%PDF-1.7 broken")
