"""The receipt of a countersignature: two alike, with what proves it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.cosignature import check_cosignatures
from ledger.chain.note import parse_note
from ledger.derive.statements import Statement
from ledger.errors import InputError
from ledger.papers.press.heads import Heads
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.lists import list_sheet
from ledger.papers.sheets.receipts import MOST_NAMED, ReceiptPaper, receipt_sheet
from ledger.say.clock import local_time
from ledger.say.signing import NOT_THE_OTHER, recorded_later
from ledger.say.words import join, short_hash
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.countersign import countersign_in_ink, show_list
from ledger.witness.officials import key_of
from tests.papers.pdf_checks import check_pdf
from tests.papers.samples import HEAD, HOSTILE, STAMP, pages, printed_sheet, squeeze
from tests.signed_season import CHAIN, GAME, season
from tests.signed_season import receipt as taken_home

PAPER = ReceiptPaper(
    head=HEAD,
    team="Hill Foxes",
    side="Brook Otters",
    meaning="Read.",
    name="Invented Signer",
    signed_at="Sat, Sep 5, 2026, 8:50 AM CDT",
    how="key",
    id="office:57",
    digest="7c01d2e3f4a5b697" * 4,
    digest_now="7c01d2e3f4a5b697" * 4,
    scan="",
    is_cosigned=True,
    state="Signed, no changes since",
    is_whole=True,
)


MOVED = "Sat, Sep 5, 2026, 2:30 PM CDT (was 9:00\u00a0AM)"
SIGNED_AT = "2026-09-05T13:50:00.000Z"
STATEMENT = Statement(
    "office:57", 57, "countersign", SIGNED_AT, SIGNED_AT, SIGNED_AT, "wm", (), "g1", "foxes", None
)


def paper_of(sheet: Sheet) -> ReceiptPaper:
    paper = sheet.context["paper"]
    assert isinstance(paper, ReceiptPaper)
    return paper


def signature(store: SqliteStore, official: str, team: str) -> str:
    """The id of the countersignature that this official gave with a key."""
    found = [stored.event for stored in store.events(kind=["countersign"], game=[GAME])]
    return next(e.id for e in found if (e.by, e.team) == (official, team) and "list" in e.data)


def test_two_alike_on_one_sheet(signed: SqliteStore, tmp_path: Path) -> None:
    """Printed name, date and time, meaning: 21 CFR 11.50(a), quoted; a model."""
    event_id = signature(signed, "marmots-wm3", "newts")
    sheet = receipt_sheet(Heads(signed, printed_at="2026-12-01T18:00:00.000Z"), event_id)
    (text,) = printed_sheet(sheet, tmp_path / "receipt.pdf")
    paper = paper_of(sheet)
    for said in (
        "Receipt: a list was signed",
        "Ineligible list of Glimmerfen Newts",
        "Signed by Tobias Eggleplum, for Mossbottom Marmots",
        paper.signed_at,
        "Read and received as it stands.",
        f"Signed with a key, event {event_id}",
        paper.digest,
        paper.head.head_hash,
        "Checkpoint, signed by the ledger and by Tobias Eggleplum",
        "weighbook audit --since receipt.txt",
        "Keep this. Do not post it: players’ numbers can tell who a child is.",
        "Anyone with a copy of the ledger can check it; ask your registrar.",
    ):
        assert squeeze(text).count(squeeze(said)) == 2
    assert "Wolkenfänger" not in text


def test_its_code_is_the_note_that_the_signer_took_home(signed: SqliteStore) -> None:
    sheet = receipt_sheet(Heads(signed), signature(signed, "marmots-wm3", "newts"))
    assert paper_of(sheet).head.checkpoint.encode() == taken_home()
    assert sheet.attachments[0].content == taken_home()
    note = parse_note(taken_home())
    key = key_of(signed, "marmots-wm3")
    assert key is not None
    assert check_cosignatures(note, [key.key])
    size = parse_checkpoint(note.text).size
    assert paper_of(sheet).id == paper_of(sheet).head.head_id == f"{CHAIN}:{size}"


def test_the_list_shows_the_number_of_the_receipt(signed: SqliteStore) -> None:
    receipt = paper_of(receipt_sheet(Heads(signed), signature(signed, "newts-wm1", "newts")))
    assert list_sheet(Heads(signed), GAME, "newts").context["paper"].digest == receipt.digest


def test_signed_on_the_sheet(signed: SqliteStore, tmp_path: Path) -> None:
    """The day file says only that it was signed: the signed sheet is what holds the list. The
    ledger's number is on it, as the list says that it will be."""
    first = next(iter(signed.events(kind=["countersign"], game=[GAME]))).event
    sheet = receipt_sheet(Heads(signed), first.id)
    assert not paper_of(sheet).is_cosigned
    assert (
        parse_checkpoint(parse_note(paper_of(sheet).head.checkpoint.encode()).text).size
        == signed.head(CHAIN).seq
    )
    (text,) = printed_sheet(sheet, tmp_path / "receipt.pdf")
    paper, number = paper_of(sheet), list_sheet(Heads(signed), GAME, first.team or "").context
    assert (paper.digest, paper.digest_now) == ("", number["paper"].digest)
    squeezed = squeeze(text)
    shown = f"Number of the list {short_hash(paper.digest_now)} {paper.digest_now[16:]}"
    assert squeezed.count(squeeze(shown)) == 2
    assert squeeze("(when printed)") in squeezed
    differs = "If its number differs from the number of the list here, entries were made"
    assert squeeze(differs) in squeezed
    assert "Checkpoint, signed by the ledger" in " ".join(text.split())
    assert squeezed.count(squeeze("Handed over by Mossbottom Marmots.")) == 2
    assert "our team" not in text


def test_a_signature_typed_in_later_says_when_the_ledger_got_it(
    signed: SqliteStore, tmp_path: Path
) -> None:
    """As its list says; a signature by key was recorded when it was made."""
    first = next(iter(signed.events(kind=["countersign"], game=[GAME]))).event
    sheet = receipt_sheet(Heads(signed), first.id)
    said = f"Typed in from paper: recorded {local_time(first.recorded, HEAD.zone)}."
    assert paper_of(sheet).recorded == said
    (text,) = printed_sheet(sheet, tmp_path / "receipt.pdf")
    assert squeeze(text).count(squeeze(said)) == 2
    by_key = receipt_sheet(Heads(signed), signature(signed, "marmots-wm3", "newts"))
    assert paper_of(by_key).recorded == ""


def test_a_list_that_the_other_side_has_not_signed(signed: SqliteStore, tmp_path: Path) -> None:
    """It looked complete."""
    given = [one.event for one in signed.events(kind=["countersign"], game=["acorn-3b"])]
    (alone,) = [one for one in given if one.team == "marmots"]
    sheet = receipt_sheet(Heads(signed), alone.id)
    (text,) = printed_sheet(sheet, tmp_path / "receipt.pdf")
    said = "When printed Signed, no changes since. Other side: no signature entered."
    assert squeeze(text).count(squeeze(said)) == 2
    both = next(one for one in given if one.team == "quokkas")
    assert paper_of(receipt_sheet(Heads(signed), both.id)).other_side == ""


def test_a_signature_recorded_late_but_not_from_a_day_file() -> None:
    said = {"recorded": "2026-09-05T18:00:00.000Z", "is_late": True}
    assert recorded_later(replace(STATEMENT, **said), HEAD.zone) == (
        "Recorded late: Sat, Sep 5, 2026, 1:00 PM CDT."
    )
    assert recorded_later(STATEMENT, HEAD.zone) == ""


def test_what_holds_of_the_list_has_its_own_row(tmp_path: Path) -> None:
    """After "How" stands only how it was signed."""
    paper = replace(PAPER, state="Signed a different list", is_whole=False, how="sheet")
    render_sheet(Sheet("receipt", {"paper": paper}, STAMP), tmp_path / "receipt.pdf")
    (text,) = pages(tmp_path / "receipt.pdf")
    row = "How Signed on the sheet, event office:57 When printed Signed a different list."
    assert squeeze(text).count(squeeze(row)) == 2


def test_a_sheet_with_late_arrivals_says_who(signed: SqliteStore) -> None:
    given = [one.event for one in signed.events(kind=["countersign"], game=["acorn-1b"])]
    dormice = next(one for one in given if one.team == "dormice")
    paper = paper_of(receipt_sheet(Heads(signed), dormice.id))
    assert (paper.state, paper.is_whole) == ("Signed; late arrivals since: No.\u00a051", True)


def test_signed_in_ink(tmp_path: Path) -> None:
    with season(tmp_path / "season.weighbook", signed=False) as store:
        shown = show_list(store, GAME, "newts", "newts-wm2", chain=CHAIN)
        event_id = countersign_in_ink(store, shown, b"%PDF- an invented scan", "scan.pdf")
        sheet = receipt_sheet(Heads(store), event_id)
    paper = paper_of(sheet)
    assert (paper.how, paper.digest) == ("ink", shown.number)
    (text,) = printed_sheet(sheet, tmp_path / "receipt.pdf")
    assert squeeze(f"Number of the scan {paper.scan}") in squeeze(text)


def test_what_is_no_signature(signed: SqliteStore) -> None:
    with pytest.raises(InputError, match="office:1 is not a signature to a list"):
        receipt_sheet(Heads(signed), "office:1")
    with pytest.raises(InputError, match="no event office:999999"):
        receipt_sheet(Heads(signed), "office:999999")
    board = next(
        stored.event
        for stored in signed.events(kind=["countersign"], game=["oak-4b"])
        if (stored.event.by or "").startswith("board")
    )
    with pytest.raises(InputError, match="does not count as a signature of either side") as caught:
        receipt_sheet(Heads(signed), board.id)
    assert "to the list count: office:" in caught.value.hint


@pytest.mark.parametrize("name", [HOSTILE[0], HOSTILE[5]])
def test_hostile_names_leave_both_halves_whole(name: str, tmp_path: Path) -> None:
    head = replace(HEAD, league=name, site=name, home=name, visitor=name)
    paper = replace(
        PAPER, head=head, team=name, side=name, name=name, is_whole=False, scan="0" * 64
    )
    render_sheet(Sheet("receipt", {"paper": paper}, STAMP), tmp_path / "receipt.pdf")
    check_pdf(tmp_path / "receipt.pdf")
    texts = pages(tmp_path / "receipt.pdf")
    assert squeeze("".join(texts)).count(squeeze(name)) >= 14
    assert sum(text.count("How to check it") for text in texts) == 2


def test_many_changes_still_fit_two_halves_on_one_sheet(tmp_path: Path) -> None:
    """A scan, long names, and as many players named as a receipt names."""
    home, visitor = "Quillowick Wombats", "Nettlehop Capybaras"
    numbers = join([f"No. {number}" for number in range(50, 50 + MOST_NAMED)] + ["16 more"])
    paper = replace(
        PAPER,
        head=replace(HEAD, home=home, visitor=visitor, site="Quillowick Green", kickoff=MOVED),
        team=visitor,
        side=visitor,
        name="Wilhelmina Lunafaro",
        how="ink",
        is_whole=False,
        scan="a1b2c3d4" * 8,
        recorded=f"Recorded late: {PAPER.signed_at}.",
        other_side=NOT_THE_OTHER,
        state=f"Changed after signing: {numbers}; arrived late: {numbers}",
    )
    render_sheet(Sheet("receipt", {"paper": paper}, STAMP), tmp_path / "receipt.pdf")
    (text,) = pages(tmp_path / "receipt.pdf")
    assert squeeze(text).count(squeeze("arrived late")) == 2


def test_without_the_chains_key(tmp_path: Path) -> None:
    paper = replace(PAPER, head=replace(HEAD, checkpoint=""), is_cosigned=False)
    render_sheet(Sheet("receipt", {"paper": paper}, STAMP), tmp_path / "receipt.pdf")
    (text,) = pages(tmp_path / "receipt.pdf")
    assert text.count("No QR code") == 2
    assert "--since" not in text
