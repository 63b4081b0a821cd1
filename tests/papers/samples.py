"""Invented papers: no person, team, place or league here exists."""

from __future__ import annotations

from pathlib import Path

import pypdfium2

from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.blank_lists import BlankPaper, RosterLine
from ledger.papers.sheets.context import PaperHead, SignatureLine
from ledger.papers.sheets.list_parts import ControlStrip, Verdict
from ledger.papers.sheets.lists import Listing, ListLine, ListPaper
from ledger.say import lists, procedure
from ledger.say.signing import PRESENTS, RECEIVES
from tests.papers.pdf_checks import check_pdf

STAMP = "2026-09-05T13:41:22.000Z"
CHECKPOINT = (
    "invented-valley.example/2026/office\n57\n"
    "CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=\n\n"
    "— invented-valley.example/2026/office " + "Az3grlgtzPICa5OS8npVmf1Myq/5IZniMp+ZJurm" * 2 + "\n"
)
HEAD = PaperHead(
    league="Invented Valley Youth Football",
    season="2026",
    division="Division Ten (invented)",
    game="g1",
    kickoff="Sat, Sep 5, 2026, 9:00 AM CDT",
    site="Field 2, Imaginary Park",
    home="Brook Otters",
    visitor="Hill Foxes",
    zone="America/Chicago",
    head_id="office:57",
    head_hash="3f9a02bc77de1a40" * 4,
    printed_at="Sat, Sep 5, 2026, 8:42 AM CDT",
    rules="1",
    keep_until="Feb 1, 2027",
    checkpoint=CHECKPOINT,
)
SIGNATURES = (
    SignatureLine(side="Hill Foxes", meaning=PRESENTS),
    SignatureLine(side="Hill Foxes", meaning=PRESENTS),
    SignatureLine(side="Brook Otters", meaning=RECEIVES),
    SignatureLine(side="Brook Otters", meaning=RECEIVES),
)

HOSTILE = (
    "<b>&amp;<script>alert(1)</script></td></tr></table>",
    "{{ 7 * 7 }} {% raw %} {# gone #}",
    "' onload=x \" style='display:none'",
    "Ann\u202eeinnA\u202c Invented",
    "Line\nBreak\u2028Invented",
    "A" * 60,
    "Überlangername-Przykładowski-Nguyễn-Erfundenová-O’Nobody Xyzzy",
    "erased",
)
RIGHT_TO_LEFT = ("فلان الفلاني", "פלוני אַלְמוֹנִי")
OTHER_SCRIPTS = ("नमूना नाम", "ตัวอย่าง ชื่อ", "Δείγμα Όνομα", "Образец Имя", "Նմուշ Անուն")
EMOJI = "Kid 😀 👩‍👩‍👧 🏈"
NO_FONT = "見本 名前"


def listing(reason: str, **more: str) -> Listing:
    return Listing(reason=reason, at="8:12 AM", by="A. Weigher", **more)


PLAYS = Verdict(text="Plays the whole game", holds_back=False)
NO_BALL = Verdict(text="Does not carry the ball", holds_back=True)


def line(
    number: int | None,
    name: str,
    *listings: Listing,
    verdicts: tuple[Verdict, ...] = (PLAYS, NO_BALL),
    because: str = "",
) -> ListLine:
    return ListLine(number=number, name=name, listings=listings, verdicts=verdicts, because=because)


LINES = (
    line(7, "Robin Sample", listing("over")),
    line(
        12,
        "Zoë Łukasz Inventado",
        listing("absent", struck_at="8:31 AM", struck_by="B. Scale"),
        verdicts=(
            Verdict(text="Plays second half only", holds_back=True),
            Verdict(text="May carry the ball", holds_back=False),
        ),
        because="weighed late, at 8:31 AM; by the scale",
    ),
    line(
        23,
        "Kim Placeholder",
        listing("injured"),
        verdicts=(Verdict(text="Does not play", holds_back=True),),
        because="not weighed",
    ),
    line(
        44,
        "Pat Example",
        listing("equipment", struck_at="8:20 AM", struck_by="B. Scale"),
        listing("over"),
    ),
)


def list_paper(lines: tuple[ListLine, ...] = LINES, head: PaperHead = HEAD) -> ListPaper:
    return ListPaper(
        head=head,
        team="Hill Foxes",
        opponent="Brook Otters",
        day="Sat, Sep 5",
        control=ControlStrip(
            limit="105 lb",
            checks="10 lb at 8:02 AM",
            weighed="21 of 22",
            over="2",
            listed="0",
            weighed_by="B. Scale",
        ),
        lines=lines,
        signatures=SIGNATURES,
        digest="7c01d2e3f4a5b697" * 4,
        counted=lists.printed_lines(len(lines), 0, ()),
    )


NOBODY_SKIPS = {"weigh_in": {"declared_over_may_skip_scale": False}}


def blank_paper(names: tuple[str, ...], head: PaperHead = HEAD) -> BlankPaper:
    return BlankPaper(
        head=head,
        team="Hill Foxes",
        opponent="Brook Otters",
        roster=tuple(RosterLine(number=number, name=name) for number, name in enumerate(names)),
        signatures=SIGNATURES[1:3],
        check_weight="10 lb",
        passes="9.5 to 10.5 lb",
        limit="105 lb",
        limit_since="",
        day="Sat, Sep 5",
        opens="8:30 AM CDT",
        first_to_weigh="Visiting players are weighed first.",
        attempts="A player is weighed once, as equipped, and the first weigh counts.",
        late_players=procedure.late_by_hand({"weigh_in": {"late_players": "second_half"}}),
        not_weighed=procedure.not_weighed_by_hand(NOBODY_SKIPS),
        declines=procedure.declines_by_hand(NOBODY_SKIPS),
        ask="the site official",
        roster_reviewers="Questions about a roster go to the association president, then the"
        " division president.",
    )


def printed_sheet(sheet: Sheet, to: Path) -> list[str]:
    """The text of each page of a paper made from a ledger; it keeps the rules of PDF."""
    render_sheet(sheet, to)
    check_pdf(to)
    return pages(to)


def pages(path: Path) -> list[str]:
    """The text of each page as a reader program extracts it."""
    document = pypdfium2.PdfDocument(path)
    try:
        return [page.get_textpage().get_text_range() for page in document]
    finally:
        document.close()


def squeeze(text: str) -> str:
    """Without what line breaks change: white space, and the mark of a hyphen at a line's end."""
    return "".join(text.replace("\ufffe", "-").split())
