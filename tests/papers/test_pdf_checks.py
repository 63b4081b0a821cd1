"""The check is checked: each damage to a good paper is found, and named by its clause."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name, Object, String

from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from tests.papers.pdf_checks import pdf_problems
from tests.papers.pdf_structure import kids, kind, walk
from tests.papers.press.test_render import EVIDENCE
from tests.papers.samples import STAMP, list_paper


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    to = tmp_path_factory.mktemp("papers") / "good.pdf"
    paper = {"paper": list_paper()}
    render_sheet(Sheet("ineligible_list", paper, STAMP, (EVIDENCE,)), to)
    assert pdf_problems(to) == []
    return to


def first(pdf: pikepdf.Pdf, name: str) -> Object:
    return next(element for element in walk(pdf.Root.StructTreeRoot) if kind(element) == name)


def fonts(pdf: pikepdf.Pdf) -> list[Object]:
    return [
        item
        for item in pdf.objects
        if isinstance(item, Dictionary) and item.get(Name.Subtype) == Name.Type0
    ]


def unmark(pdf: pikepdf.Pdf) -> None:
    pdf.Root.MarkInfo.Marked = False


def forget_language(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.Lang


def hide_title(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.ViewerPreferences


def unscope(pdf: pikepdf.Pdf) -> None:
    del first(pdf, "TH").A.Scope


def silence_figure(pdf: pikepdf.Pdf) -> None:
    first(pdf, "Figure").Alt = String(" ")


def skip_heading(pdf: pikepdf.Pdf) -> None:
    first(pdf, "H2").S = Name.H4


def widen_row(pdf: pikepdf.Pdf) -> None:
    row = first(pdf, "TR")
    row.K.append(kids(row)[0])


def misplace_cell(pdf: pikepdf.Pdf) -> None:
    first(pdf, "TD").S = Name.P


def fell_ids(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.StructTreeRoot.IDTree


def drop_to_unicode(pdf: pikepdf.Pdf) -> None:
    del fonts(pdf)[0].ToUnicode


def unembed(pdf: pikepdf.Pdf) -> None:
    del fonts(pdf)[0].DescendantFonts[0].FontDescriptor.FontFile2


def squash_widths(pdf: pikepdf.Pdf) -> None:
    fonts(pdf)[0].DescendantFonts[0].W = Array()


def paint_outside(pdf: pikepdf.Pdf) -> None:
    pdf.pages[0].contents_add(b"0 0 9 9 re f", prepend=False)


def orphan_content(pdf: pikepdf.Pdf) -> None:
    numbers = pdf.Root.StructTreeRoot.ParentTree.Nums
    numbers[1][0] = None


def unrelate(pdf: pikepdf.Pdf) -> None:
    del pdf.attachments["answers.json"].obj.AFRelationship


def untype(pdf: pikepdf.Pdf) -> None:
    del pdf.attachments["answers.json"].obj.EF.F.Subtype


def dissociate(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.AF


def claim_less(pdf: pikepdf.Pdf) -> None:
    packet = pdf.Root.Metadata.read_bytes()
    pdf.Root.Metadata.write(packet.replace(b'pdfaid:part="3"', b'pdfaid:part="2"'))


def claim_no_ua(pdf: pikepdf.Pdf) -> None:
    packet = pdf.Root.Metadata.read_bytes()
    part = b"<pdfuaid:part>1</pdfuaid:part>"
    assert part in packet
    pdf.Root.Metadata.write(packet.replace(part, b""))


def drop_intent(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.OutputIntents


def drop_bookmarks(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.Outlines


@pytest.mark.parametrize(
    ("damage", "found"),
    [
        (unmark, "UA 6.2"),
        (forget_language, "UA 7.2: the language"),
        (hide_title, "UA 7.1: the title is not shown"),
        (unscope, "7.5: a header cell without a scope"),
        (silence_figure, "7.3"),
        (skip_heading, "7.4.2"),
        (widen_row, "7.2: rows of one table"),
        (misplace_cell, "7.2: P in TR"),
        (fell_ids, "14.7.2"),
        (drop_to_unicode, "7.21.7"),
        (unembed, "7.21.4.1"),
        (squash_widths, "7.21.5"),
        (paint_outside, "7.1: f paints outside"),
        (orphan_content, "belongs to no element"),
        (unrelate, "A 6.8: answers.json: relationship"),
        (untype, "A 6.8: answers.json: type"),
        (dissociate, "A 6.8: answers.json: not associated"),
        (claim_less, "A 6.6.4"),
        (claim_no_ua, "UA 5"),
        (drop_intent, "A 6.2.3"),
        (drop_bookmarks, "no bookmarks"),
    ],
)
def test_damage_is_found(
    damage: Callable[[pikepdf.Pdf], None], found: str, good: Path, tmp_path: Path
) -> None:
    with pikepdf.open(good) as pdf:
        damage(pdf)
        pdf.save(tmp_path / "damaged.pdf")
    assert any(found in problem for problem in pdf_problems(tmp_path / "damaged.pdf"))


def test_a_cut_file_is_found(good: Path, tmp_path: Path) -> None:
    (tmp_path / "cut.pdf").write_bytes(good.read_bytes()[:-200])
    assert any("qpdf" in text or "6.1.3" in text for text in pdf_problems(tmp_path / "cut.pdf"))
