"""From a ledger to its lists: names, signatures, moments, the checkpoint that goes along."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pikepdf
import pytest

from ledger.chain.checkpoint import check_checkpoint
from ledger.chain.note import parse_note, parse_verifier_key
from ledger.errors import InputError
from ledger.papers.press.compose import compose
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.blank_lists import BlankPaper, blank_sheet
from ledger.papers.sheets.lists import ListPaper, list_sheet
from ledger.record.accepted import Accepted
from ledger.record.times import now_utc
from ledger.say.signing import PRESENTS, RECEIVES
from ledger.store.chains import begin_chain
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.countersign import show_list
from tests.papers.samples import printed_sheet, squeeze
from tests.signed_season import CHAIN, GAME, season


def paper_of(sheet: Sheet) -> ListPaper:
    paper = sheet.context["paper"]
    assert isinstance(paper, ListPaper)
    return paper


@pytest.fixture
def keyless(tmp_path: Path) -> Iterator[SqliteStore]:
    """A copy of the ledger without its private keys, as an auditor has it."""
    with season(tmp_path / "copy.weighbook", signed=False) as store:
        store.connection.execute("delete from key")
        yield store


def test_the_list_of_the_sample_season(signed: SqliteStore, tmp_path: Path) -> None:
    sheet = list_sheet(Heads(signed), GAME, "marmots")
    text = "".join(printed_sheet(sheet, tmp_path / "list.pdf"))
    for said in (
        "Ineligible list: Mossbottom Marmots",
        "11 Hal Crumpetstone Over the carrier limit 8:32 AM, Lionel O'Dandelow",
        "22 Sana al-Ghaymazhar Injured",
        "Signatures to this list: 7 printed lines",
        "until Jun 30, 2027",
    ):
        assert squeeze(said) in squeeze(text)


def test_every_signature_of_both_sides_is_on_the_list(signed: SqliteStore) -> None:
    """Printed name, date and time, meaning: 21 CFR 11.50(a), quoted; a model for a league."""
    paper = paper_of(list_sheet(Heads(signed), GAME, "newts"))
    shown = [(line.side, line.meaning, line.name, line.how) for line in paper.signatures]
    assert shown == [
        ("Glimmerfen Newts", PRESENTS, "Lionel O'Dandelow", "sheet"),
        ("Glimmerfen Newts", PRESENTS, "Hazel Thimbleberry", "key"),
        ("Mossbottom Marmots", RECEIVES, "Wilhelmina Lunafaro", "sheet"),
        ("Mossbottom Marmots", RECEIVES, "Tobias Eggleplum", "key"),
    ]
    assert paper.signatures[0].signed_at == "Sat, Sep 5, 2026, 8:51 AM"
    assert {line.state for line in paper.signatures} == {"Signed, no changes since"}
    assert all(line.is_whole for line in paper.signatures)
    assert paper.is_signed
    countersigned = show_list(signed, GAME, "newts", "marmots-wm3", chain=CHAIN)
    assert paper.digest == countersigned.number


def test_a_side_that_has_not_signed_has_room_to(signed: SqliteStore) -> None:
    """In oak-4b a board member signed for the capybaras: that is no weighmaster's signature."""
    paper = paper_of(list_sheet(Heads(signed), "oak-4b", "capybaras"))
    assert [(line.side, line.how) for line in paper.signatures[:2]] == [
        ("Nettlehop Capybaras", ""),
        ("Quillowick Wombats", "sheet"),
    ]
    assert not paper.is_signed


def test_a_signature_older_than_the_list_says_so(signed: SqliteStore) -> None:
    """In oak-1b late children were crossed off, and one listed, after both had signed; of one, a
    reviewer ruled.
    """
    paper = paper_of(list_sheet(Heads(signed), "oak-1b", "capybaras"))
    late = "arrived late: No. 17, No. 39 and No. 73"
    assert {line.state for line in paper.signatures} == {f"Ruled on after signing: No. 49; {late}"}
    by_player = {line.text.partition(" now:")[0]: line for line in paper.since}
    assert list(by_player) == ["No. 49"]  # the others stand among the late arrivals
    assert {one.number for one in paper.late} == {"17", "39", "49", "73"}
    assert "Ruling in case" in by_player["No. 49"].statements[-1]
    before = paper_of(
        list_sheet(Heads(signed), "oak-1b", "capybaras", as_of="2026-09-05T16:21:00.000Z")
    )
    assert [line.state for line in before.signatures] == ["Signed, no changes since"] * 2
    assert before.head.as_of == "Sat, Sep 5, 2026, 11:21 AM CDT"
    # What the ledger held by then is an option of the command, and no business of a clipboard.
    assert (before.head.held_later, before.typed_in) == ("", "")


def test_before_anybody_signed_there_is_room_for_both(signed: SqliteStore) -> None:
    paper = paper_of(list_sheet(Heads(signed), GAME, "newts", as_of="2026-09-05T13:49:00.000Z"))
    assert [line.how for line in paper.signatures] == ["", ""]
    assert [line.meaning for line in paper.signatures] == [PRESENTS, RECEIVES]


def test_the_checkpoint_is_on_the_paper_and_in_it(signed: SqliteStore, tmp_path: Path) -> None:
    sheet = list_sheet(Heads(signed), GAME, "newts")
    printed_sheet(sheet, tmp_path / "list.pdf")
    with pikepdf.open(tmp_path / "list.pdf") as pdf:
        spec = pdf.attachments["checkpoint.txt"]
        assert spec.relationship == pikepdf.Name.Data
        assert spec.get_file().mime_type == "text/plain"
        data = spec.get_file().read_bytes()
    assert data.decode() == paper_of(sheet).head.checkpoint
    (first, *_) = signed.events(kind=["chain_key"], chain=[CHAIN])
    checkpoint = check_checkpoint(parse_note(data), parse_verifier_key(first.event.data["key"]))
    assert f"{CHAIN}:{checkpoint.size}" == paper_of(sheet).head.head_id
    assert checkpoint.size == signed.head(CHAIN).seq


def test_the_checkpoint_is_of_the_chain_that_keeps_the_game(tmp_path: Path) -> None:
    """A note from another device is the ledger's last event, and not the game's chain."""
    with season(tmp_path / "season.weighbook", signed=False) as store:
        (league,) = (stored.event.data for stored in store.events(kind=["league"]))
        now = now_utc()
        noted = Accepted("concern", {"reason": "other"}, at=now, entered=now, by="registrar",
                         game=GAME)  # fmt: skip
        with store.writing() as writing:
            begin_chain(writing, "tablet", league)
            writing.append([noted], chain="tablet")
        assert store.last().id.startswith("tablet:")
        head = paper_of(list_sheet(Heads(store), GAME, "newts")).head
        assert head.head_id == f"{CHAIN}:{store.head(CHAIN).seq}"
        assert head.head_hash == store.head(CHAIN).hash.hex()
        assert f"/{CHAIN}\n" in head.checkpoint


def test_without_the_chains_key_there_is_no_code(keyless: SqliteStore, tmp_path: Path) -> None:
    sheet = list_sheet(Heads(keyless), GAME, "newts")
    assert [file.name for file in sheet.attachments] == ["paper.json"]
    assert paper_of(sheet).head.checkpoint == ""
    (text,) = printed_sheet(sheet, tmp_path / "list.pdf")
    assert squeeze("No QR code: this copy of the ledger does not hold the key") in squeeze(text)


def test_a_game_that_is_off(signed: SqliteStore, tmp_path: Path) -> None:
    (text,) = printed_sheet(list_sheet(Heads(signed), "oak-3b", "wombats"), tmp_path / "list.pdf")
    assert "THIS GAME IS OFF." in text


def test_another_team_or_game(signed: SqliteStore) -> None:
    with pytest.raises(InputError, match="dormice does not play in acorn-1a") as caught:
        list_sheet(Heads(signed), GAME, "dormice")
    assert caught.value.hint == "Teams of acorn-1a: marmots and newts."
    with pytest.raises(InputError, match="no game acorn-9z"):
        list_sheet(Heads(signed), "acorn-9z", "newts")


def test_the_blank_form_has_the_roster_of_that_game_once(
    signed: SqliteStore, tmp_path: Path
) -> None:
    """Newts 62 joined after the first Saturday; the name stands outside the roster."""
    sheet = blank_sheet(Heads(signed), "newts", "acorn-7a")
    paper = sheet.context["paper"]
    assert isinstance(paper, BlankPaper)
    numbers = [line.number for line in paper.roster]
    assert numbers == sorted(set(numbers))
    assert paper.roster[-1].number == 62
    assert paper.roster[-1].name == "Bastian Kettlefern"
    assert (paper.limit, paper.check_weight, paper.passes) == ("97 lb", "10 lb", "9.5 to 10.5 lb")
    assert paper.opens == "8:30 AM CDT"
    assert len(printed_sheet(sheet, tmp_path / "blank.pdf")) == 2
    first = blank_sheet(Heads(signed), "newts", GAME).context["paper"]
    assert 62 not in [line.number for line in first.roster]
    assert (first.limit, first.limit_since) == ("95 lb", "")
    assert paper.limit_since == "since Oct 1; before: 95 lb"
    html = compose(sheet.document, sheet.context, stamp=sheet.stamp)
    assert '<strong class="limit">97 lb</strong> (since Oct 1; before: 95 lb) ·' in html


@pytest.mark.parametrize(
    ("game", "team", "lines"),
    [
        ("acorn-3b", "marmots", 7),
        ("acorn-2b", "marmots", 8),
        ("acorn-1b", "dormice", 4),
        ("oak-5b", "capybaras", 9),
        ("acorn-3b", "quokkas", 6),
    ],
    ids=["half signed", "signed", "late arrival since", "nine", "two late since"],
)
def test_a_usual_list_fits_one_page_with_its_signatures(
    signed: SqliteStore, tmp_path: Path, game: str, team: str, lines: int
) -> None:
    (page,) = printed_sheet(list_sheet(Heads(signed), game, team), tmp_path / "l.pdf")
    assert f"Signatures to this list: {lines} printed lines" in page
    assert "Officials and presidents decide" in page


def test_a_list_with_two_doubts_still_fits_one_page(signed: SqliteStore, tmp_path: Path) -> None:
    sheet = list_sheet(Heads(signed), "acorn-4b", "quokkas", as_of="2026-09-26T13:46:00.000Z")
    (page,) = printed_sheet(sheet, tmp_path / "l.pdf")
    assert page.count("Weighed ok, scale out of use.") == 2
    assert "Officials and presidents decide" in page


def test_the_second_page_says_which_game_and_as_of_when(
    signed: SqliteStore, tmp_path: Path
) -> None:
    sheet = list_sheet(Heads(signed), "acorn-2a", "newts", as_of="2026-09-12T13:46:00.000Z")
    (_, page) = printed_sheet(sheet, tmp_path / "l.pdf")
    head = (
        "Ineligible list, Glimmerfen Newts, game acorn-2a, Sat, Sep 12 · as of Sat, Sep 12, 2026, "
    )
    assert squeeze(head) in squeeze(page)


def test_rows_for_the_pen_and_signatures_stay_together(signed: SqliteStore, tmp_path: Path) -> None:
    """A signature alone on a page signs nothing that a reader sees."""
    sheet = list_sheet(Heads(signed), "oak-5b", "capybaras", as_of="2026-10-03T16:16:00.000Z")
    pages = printed_sheet(sheet, tmp_path / "l.pdf")
    assert len(pages) == 2
    for said in ("Added by hand", "Late arrivals", "Signatures, when", "presidents decide"):
        assert [said in page for page in pages] == [False, True]


def test_no_word_of_the_initials_is_broken(signed: SqliteStore, tmp_path: Path) -> None:
    """The column was too narrow for Hammerdaisy."""
    pages = printed_sheet(list_sheet(Heads(signed), "oak-1b", "capybaras"), tmp_path / "l.pdf")
    assert "y" not in [line.strip() for line in pages[0].splitlines()]
