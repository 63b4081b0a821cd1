"""A paper held against its ledger: the same, or where it differs."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.fields import SigFieldSpec
from pyhanko.sign.signers import PdfSignatureMetadata, sign_pdf

from ledger.audit.audit import audit
from ledger.audit.kept import read_kept
from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.note import parse_note
from ledger.errors import InputError
from ledger.papers.press import behind, printing, sealing
from ledger.papers.press.heads import Heads
from ledger.papers.press.pades import open_certificate
from ledger.papers.press.paper_file import parse_paper
from ledger.papers.press.render import typeset_sheet
from ledger.papers.press.versions import versions
from ledger.papers.sheets import hold
from ledger.papers.sheets.hold import hold_paper
from ledger.papers.sheets.lists import list_sheet
from ledger.papers.sheets.weeks import find_week, lay_week
from ledger.say.held import as_json, sentence
from ledger.store.sqlite.store import SqliteStore
from tests.papers import spoiling
from tests.papers.certificates import LEAGUE, NOW, PASSPHRASE, as_pkcs12, issue, make_root
from tests.papers.sheets.held_papers import AT, SHEETS, at, where
from tests.signed_season import CHAIN, GAME
from tests.signed_season import receipt as taken_home


@pytest.fixture(scope="module")
def paper(signed: SqliteStore) -> bytes:
    """A list of one page."""
    return typeset_sheet(SHEETS["list"](signed))


@pytest.mark.parametrize("name", SHEETS)
def test_every_paper_is_the_same_when_it_is_made_again(
    name: str, signed: SqliteStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:  # this one is really set twice
        patch.setattr(printing, "print_html", printing.print_html.__wrapped__)  # type: ignore[attr-defined]
        first = typeset_sheet(SHEETS[name](signed))
    held = hold_paper(signed, first)
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
    number = list_sheet(Heads(signed), GAME, "newts").context["paper"].digest
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
    assert "the text is the same, but not a drawing over it" in sentence(held)
    (tmp_path / "list.pdf").write_bytes(spoilt)
    report = audit(signed.connection, since=read_kept(tmp_path / "list.pdf"))
    assert report.problems == []
    (told, *_) = report.steps[6].notes
    assert told.startswith("list.pdf: its checkpoint covers the first 7,352 events of ")
    assert told.endswith("To check what is printed on it, use weighbook check list.pdf")


def test_another_teams_page(signed: SqliteStore, paper: bytes, tmp_path: Path) -> None:
    other = typeset_sheet(list_sheet(at(signed), GAME, "marmots"))
    spoilt = spoiling.edited(paper, spoiling.take_page_of(other))
    held = hold_paper(signed, spoilt)
    assert where(held) == ("differs", 1, 2)
    assert held.difference
    assert held.difference.paper == "Ineligible list: Mossbottom Marmots"
    assert held.difference.ledger == "Ineligible list: Glimmerfen Newts"
    assert "It differs on page 1, line 2" in sentence(held)
    (tmp_path / "list.pdf").write_bytes(spoilt)
    assert audit(signed.connection, since=read_kept(tmp_path / "list.pdf")).problems == []


def test_a_name_that_is_not_printed_any_more(signed: SqliteStore, paper: bytes) -> None:
    held = hold_paper(signed, spoiling.edited(paper, spoiling.take_out_a_line))
    verdict, page, line = where(held)
    assert (verdict, page) == ("differs", 1)
    assert line
    assert held.difference
    assert held.difference.paper != held.difference.ledger


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
    assert "the pages and the attached files are the same" in sentence(held)


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


# What was added after the printed bytes

ROOT = make_root()
CERTIFICATE = as_pkcs12(issue(ROOT, LEAGUE))


def signed_by_league(pdf: bytes) -> bytes:
    return open_certificate(CERTIFICATE, PASSPHRASE, now=NOW).sign(pdf)


def test_one_signature_behind_it_is_named_apart(signed: SqliteStore, paper: bytes) -> None:
    held = hold_paper(signed, signed_by_league(paper))
    assert (held.verdict, held.signer, held.ok) == ("same_signed", LEAGUE, True)
    assert f"The added signature is by {LEAGUE}" in sentence(held)
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
    "a signature that shows": seen,
    "a signature that was changed": lambda pdf: signed_by_league(pdf).replace(
        LEAGUE.encode(), LEAGUE.upper().encode()
    ),
}


@pytest.mark.parametrize("name", BEHIND)
def test_any_other_addition_is_never_the_same(name: str, signed: SqliteStore, paper: bytes) -> None:
    spoilt = BEHIND[name](paper)
    assert spoilt.startswith(paper)
    held = hold_paper(signed, spoilt)
    assert held.verdict == "differs"
    assert "were added after what was printed" in sentence(held)


def test_without_pyhanko_the_signature_is_not_checked(
    signed: SqliteStore, paper: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    spoilt = signed_by_league(paper)
    monkeypatch.setitem(sys.modules, "pyhanko.sign.validation", None)
    assert behind.look_behind(spoilt, paper).signer == ""
    held = hold_paper(signed, spoilt)
    assert held.verdict == "differs"
    assert "it was not checked: pyHanko is not installed" in sentence(held)


# What is no paper


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda content: b"{}", "has the unknown form"),
        (lambda content: b"text", "cannot be read"),
        (lambda content: content.replace(b'"form":1', b'"form":2'), "has the unknown form"),
        (lambda content: content.replace(b'"size":', b'"size":-'), "not written by weighbook"),
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
    with pytest.raises(InputError, match=r"has no paper\.json") as caught:
        hold_paper(signed, plain)
    assert "print the paper again" in caught.value.hint
    with pytest.raises(InputError, match="this PDF cannot be read"):
        hold_paper(signed, b"%PDF-1.7 broken")
