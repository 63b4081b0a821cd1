"""The ineligible list: everything on it can be read, nothing on it can break it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.papers.press.compose import compose
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import SignatureLine
from ledger.papers.sheets.lists import ListPaper
from tests.papers.pdf_checks import check_pdf
from tests.papers.samples import (
    EMOJI,
    HEAD,
    HOSTILE,
    LINES,
    NO_FONT,
    OTHER_SCRIPTS,
    RIGHT_TO_LEFT,
    SIGNATURES,
    STAMP,
    line,
    list_paper,
    listing,
    pages,
    squeeze,
)


def printed(paper: ListPaper, to: Path) -> list[str]:
    render_sheet(Sheet("ineligible_list", {"paper": paper}, STAMP), to)
    check_pdf(to)
    return pages(to)


def test_a_usual_list_is_one_page_with_room_to_sign(tmp_path: Path) -> None:
    texts = printed(list_paper(), tmp_path / "list.pdf")
    assert len(texts) == 1
    text = squeeze(texts[0])
    for said in (
        "Invented Valley Youth Football · 2026 · Division Ten (invented)",
        "Ineligible list: Hill Foxes",
        "Sat, Sep 5, 2026, 9:00 AM CDT",
        "Limit Check weight read Weighed Over, by scale or book Listed, not weighed",
        "105 lb 10 lb at 8:02 AM 21 of 22 2 0 Weighed by B. Scale",
        "Copy for Brook Otters Hill Foxes the league",
        "7Robin SampleOver the carrier limit8:12 AM, A. Weigher",
        "Plays the whole gameDoes not carry the ball",
        "Plays second half onlyMay carry the ball(weighed late, at 8:31 AM; by the scale)",
        "23Kim PlaceholderInjured8:12 AM, A. WeigherDoes not play",
        "44Pat ExampleIncomplete gear8:12 AM, A. Weigher",
        "8:20 AM B. Scale",
        "Added by hand, before signing",
        "Late arrivals, also after signing",
        "Signatures to this list: 4 printed lines",
        "For, and what it meansSignaturePrinted nameDate and time",
        "Hill FoxesHanded over by our team.",
        "Brook OttersRead and received as it stands.",
        (
            "Children’s names. Photograph or scan it only for the league’s record, then delete the"
            " picture. Do not post it. Keep it with the game papers until Feb 1, 2027."
        ),
        (
            "Officials and presidents decide. Number of this list: 7c01 d2e3 f4a5 b697"
            " (compare with a receipt)."
        ),
        "Ledger at office:57, 3f9a 02bc 77de 1a40",
        "Page 1 of 1",
    ):
        assert squeeze(said) in text


def test_what_was_struck_off_is_crossed_out_and_still_there() -> None:
    html = compose("ineligible_list", {"paper": list_paper()}, stamp=STAMP)
    assert '<span class="struck">Absent</span>' in html
    assert '<p class="small"><strong>8:31 AM</strong></p>' in html
    assert '<span class="struck">Injured</span>' not in html


def test_before_the_close_the_signatures_wait_for_it() -> None:
    open_list = replace(list_paper(), is_closed=False)
    shown = compose("ineligible_list", {"paper": open_list}, stamp=STAMP)
    assert "<h2>Signatures, when the weigh-in is closed (4 printed lines)</h2>" in shown
    # Who signed has closed it, whether or not anyone entered that.
    given = (replace(SIGNATURES[0], how="sheet", id="office:41", name="N", signed_at="8:40 AM"),)
    signed = replace(open_list, signatures=given)
    shown = compose("ineligible_list", {"paper": signed}, stamp=STAMP)
    assert "<h2>Signatures to this list: 4 printed lines</h2>" in shown


def test_no_id_breaks_at_its_hyphen() -> None:
    paper = list_paper(lines=(line(7, "R", listing("over"), because="by a ruling in old-limit"),))
    shown = compose("ineligible_list", {"paper": paper}, stamp=STAMP)
    assert 'by a ruling in <span class="whole">old-limit</span>)' in shown


def test_an_empty_list_says_so(tmp_path: Path) -> None:
    (text,) = printed(list_paper(lines=()), tmp_path / "list.pdf")
    assert "Nobody is on this list." in text
    assert "Signatures to an empty list" in text
    assert "Handed over by our team" in text


def test_a_signature_that_was_given_is_printed_where_ink_would_be(tmp_path: Path) -> None:
    signed = SignatureLine(
        side="Hill Foxes",
        meaning="Read.",
        name="Invented Signer",
        signed_at="Sat, Sep 5, 2026, 8:40 AM CDT",
        how="key",
        id="office:41",
    )
    late = replace(signed, how="ink", state="Changed after signing: No. 5", is_whole=False)
    paper = replace(list_paper(), signatures=(signed, late))
    (text,) = printed(paper, tmp_path / "list.pdf")
    when = "Invented Signer Sat, Sep 5, 2026, 8:40 AM CDT"
    assert squeeze(f"Signed with a key event office:41 {when}") in squeeze(text)
    changed = f"Signed in ink, scan kept event office:41 Changed after signing: No. 5 {when}"
    assert squeeze(changed) in squeeze(text)


def test_a_game_that_is_off_has_no_list_to_sign(tmp_path: Path) -> None:
    (text,) = printed(list_paper(lines=(), head=replace(HEAD, is_off=True)), tmp_path / "list.pdf")
    assert "THIS GAME IS OFF." in text
    assert "Signature" not in text
    assert "Nobody is on this list" not in text
    assert "Children’s names" not in text  # there are none


def test_a_usual_list_of_seven_fits_one_page_with_its_signatures(tmp_path: Path) -> None:
    lines = tuple(line(n, f"Robin Longname-Sample {n}", listing("over")) for n in range(7))
    blank = replace(list_paper(lines=lines), signatures=SIGNATURES[1:3])
    assert len(printed(blank, tmp_path / "blank.pdf")) == 1
    given = tuple(
        replace(each, name="Invented Signer", signed_at=HEAD.kickoff, how="key", id="office:41")
        for each in SIGNATURES
    )
    signed = replace(blank, signatures=given[1:3], is_signed=True)
    assert len(printed(signed, tmp_path / "signed.pdf")) == 1


def test_without_a_checkpoint_the_paper_says_so(tmp_path: Path) -> None:
    (text,) = printed(list_paper(head=replace(HEAD, checkpoint="")), tmp_path / "list.pdf")
    assert "No QR code: this copy of the ledger does not hold the key to sign with." in " ".join(
        text.split()
    )


def test_as_of_and_known_at_are_said(tmp_path: Path) -> None:
    head = replace(HEAD, as_of="8:30 AM CDT", known_at="9:15 AM CDT", keep_until="", checkpoint="")
    text = "".join(printed(list_paper(head=head), tmp_path / "list.pdf"))
    assert "As of 8:30 AM CDT: what was written down by then." in text
    assert "Known at 9:15 AM CDT: what the ledger had received by then." in text
    assert "until Feb 1, 2027" not in text


def test_forty_players_with_names_of_sixty_letters(tmp_path: Path) -> None:
    names = [f"Inventednumber{number:02d}" + "x" * 44 for number in range(40)]
    lines = tuple(line(number, name, listing("absent")) for number, name in enumerate(names))
    texts = printed(list_paper(lines=lines), tmp_path / "list.pdf")
    whole = squeeze("".join(texts))
    for number, name in enumerate(names):
        assert f"{number}{name}Absent" in whole
    for number, text in enumerate(texts, start=1):
        assert f"Page {number} of {len(texts)}" in text
        assert "Children’s names." in text
        assert "3f9a 02bc 77de 1a40" in text
    assert all("Ineligible list, Hill Foxes, game g1, Sat, Sep 5" in text for text in texts)


def test_a_players_name_is_text_and_nothing_else(tmp_path: Path) -> None:
    lines = (*(line(None, name, listing("other")) for name in HOSTILE), LINES[0])
    whole = squeeze("".join(printed(list_paper(lines=lines), tmp_path / "list.pdf")))
    for name in HOSTILE:
        shown = "".join(letter for letter in name if letter not in "\u202e\u202c")
        assert f"–{squeeze(shown)}Anotherreason" in whole
    assert "7RobinSampleOverthecarrierlimit" in whole


@pytest.mark.parametrize("name", [HOSTILE[0], HOSTILE[5]])
def test_so_is_the_name_of_a_team_a_site_and_a_league(name: str, tmp_path: Path) -> None:
    head = replace(HEAD, league=name, site=name, home=name)
    paper = replace(list_paper(lines=LINES[:1], head=head), team=name)
    whole = squeeze("".join(printed(paper, tmp_path / "list.pdf")))
    assert whole.count(squeeze(name)) >= 5
    assert "7RobinSampleOverthecarrierlimit" in whole


def test_names_in_other_scripts(tmp_path: Path) -> None:
    """A reader program gives right-to-left text in an order of its own: letters are compared."""
    names = (RIGHT_TO_LEFT[1], *OTHER_SCRIPTS, EMOJI)
    lines = tuple(line(5, name, listing("other")) for name in (RIGHT_TO_LEFT[0], *names))
    text = "".join(printed(list_paper(lines=lines), tmp_path / "list.pdf"))
    for name in names:
        assert set(squeeze(name)) <= set(text)
    assert text.count("Plays the whole game") == len(lines)
    assert "\ufffd" not in text


def test_a_letter_that_no_font_has_is_owned_up_to(tmp_path: Path) -> None:
    (text,) = printed(list_paper(lines=(line(5, NO_FONT, listing("other")),)), tmp_path / "l.pdf")
    assert "5[…]" in squeeze(text)
    assert "\ufffd" not in text
    assert "letters that this paper’s fonts do not have" in text


def test_the_title_names_no_child(tmp_path: Path) -> None:
    html = compose("ineligible_list", {"paper": list_paper()}, stamp=STAMP)
    assert "<title>Ineligible list, Hill Foxes, game g1, Sat, Sep 5</title>" in html
