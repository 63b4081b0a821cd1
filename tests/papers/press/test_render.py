"""Rendering: the same bytes, whole or not at all, and errors that say what to do."""

from __future__ import annotations

import hashlib
import json
import logging
import os
import stat
import subprocess
import sys
from pathlib import Path

import pikepdf
import pytest

from ledger.errors import ReportError
from ledger.papers.press.attachment import Attachment
from ledger.papers.press.compose import compose, documents
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from tests.papers.pdf_checks import check_pdf
from tests.papers.samples import LINES, STAMP, blank_paper, line, list_paper, listing

NAMES = ("Robin Sample", "فلان الفلاني", "Kid 😀")
EVIDENCE = Attachment(
    name="answers.json",
    content=json.dumps({"invented": True}).encode(),
    media_type="application/json",
    description="The answers that this paper shows",
)
PROGRAM = """
import sys
from pathlib import Path
from tests.papers.press.test_render import EVIDENCE, NAMES, STAMP, Sheet, blank_paper, render_sheet
sheet = Sheet("blank_list", {"paper": blank_paper(NAMES)}, STAMP, (EVIDENCE,))
render_sheet(sheet, Path(sys.argv[1]))
"""


def test_the_documents() -> None:
    assert {"blank_list", "ineligible_list"} <= set(documents())
    assert "base" not in documents()


def test_two_fresh_processes_give_the_same_bytes(tmp_path: Path) -> None:
    """Whatever the hash seed, the zone, the language and the order of the folder."""
    digests = set()
    for number, (seed, zone, lang) in enumerate(
        [("1", "UTC", "C"), ("2", "Asia/Tokyo", "C.UTF-8")]
    ):
        to = tmp_path / str(number) / "paper.pdf"
        to.parent.mkdir()
        surroundings = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": lang}
        subprocess.run(
            [sys.executable, "-c", PROGRAM, str(to)],
            check=True,
            env=surroundings,
            cwd=Path(__file__).parents[2],
        )
        digests.add(hashlib.sha256(to.read_bytes()).hexdigest())
    assert len(digests) == 1
    check_pdf(to)


def test_the_only_date_is_the_stamp(tmp_path: Path) -> None:
    render_sheet(Sheet("blank_list", {"paper": blank_paper(NAMES)}, STAMP), tmp_path / "a.pdf")
    with pikepdf.open(tmp_path / "a.pdf") as pdf:
        assert str(pdf.docinfo.CreationDate) == "D:20260905134122Z"
        assert str(pdf.docinfo.ModDate) == "D:20260905134122Z"


def test_the_evidence_is_attached(tmp_path: Path) -> None:
    sheet = Sheet("ineligible_list", {"paper": list_paper()}, STAMP, (EVIDENCE,))
    render_sheet(sheet, tmp_path / "a.pdf")
    check_pdf(tmp_path / "a.pdf")
    with pikepdf.open(tmp_path / "a.pdf") as pdf:
        spec = pdf.attachments["answers.json"]
        assert spec.relationship == pikepdf.Name.Data
        assert spec.get_file().mime_type == "application/json"
        assert spec.get_file().read_bytes() == EVIDENCE.content
        assert [str(file.UF) for file in pdf.Root.AF] == ["answers.json"]


def test_the_typesetter_has_nothing_to_complain_of(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """An unknown property, an unreachable font or a missing description would be logged."""
    with caplog.at_level(logging.WARNING):
        render_sheet(Sheet("ineligible_list", {"paper": list_paper()}, STAMP), tmp_path / "a.pdf")
        render_sheet(Sheet("blank_list", {"paper": blank_paper(NAMES)}, STAMP), tmp_path / "b.pdf")
    assert caplog.messages == []


def test_only_the_owner_may_read_a_paper(tmp_path: Path) -> None:
    render_sheet(Sheet("ineligible_list", {"paper": list_paper()}, STAMP), tmp_path / "a.pdf")
    assert stat.S_IMODE((tmp_path / "a.pdf").stat().st_mode) == 0o600


def test_a_paper_appears_whole_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    (tmp_path / "a.pdf").write_bytes(b"%PDF-1.7 the paper before")
    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(ReportError, match="No space left") as caught:
        render_sheet(Sheet("ineligible_list", {"paper": list_paper()}, STAMP), tmp_path / "a.pdf")
    assert "may write to" in caught.value.hint
    assert [path.name for path in tmp_path.iterdir()] == ["a.pdf"]
    assert (tmp_path / "a.pdf").read_bytes() == b"%PDF-1.7 the paper before"


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    to = tmp_path / "nowhere" / "a.pdf"
    with pytest.raises(ReportError, match="No such file or directory") as caught:
        render_sheet(Sheet("ineligible_list", {"paper": list_paper()}, STAMP), to)
    assert "folder that exists" in caught.value.hint


@pytest.mark.parametrize("document", ["base", "", "../base", "season", "ineligible_list/page.html"])
def test_an_unknown_paper(document: str) -> None:
    with pytest.raises(ReportError) as caught:
        compose(document, {"paper": list_paper()}, stamp=STAMP)
    assert ", ".join(documents()) in caught.value.hint


def test_a_missing_value() -> None:
    with pytest.raises(ReportError, match="'paper' is undefined") as caught:
        compose("ineligible_list", {}, stamp=STAMP)
    assert "ledger/papers/sheets" in caught.value.hint
    with pytest.raises(ReportError, match="has no attribute 'lines'"):
        compose("ineligible_list", {"paper": blank_paper(NAMES)}, stamp=STAMP)


def test_none_is_never_printed() -> None:
    lines = (line(7, None, listing("over")),)  # type: ignore[arg-type]
    with pytest.raises(ReportError, match="is None"):
        compose("ineligible_list", {"paper": list_paper(lines=lines)}, stamp=STAMP)


def test_an_unknown_code() -> None:
    lines = (*LINES, line(8, "Robin Sample", listing("heavy")))
    with pytest.raises(ReportError, match="unknown reason of a listing: 'heavy'"):
        compose("ineligible_list", {"paper": list_paper(lines=lines)}, stamp=STAMP)


@pytest.mark.parametrize("stamp", ["", "now", "2026-09-05T13:41:22Z"])
def test_another_stamp(stamp: str) -> None:
    with pytest.raises(ReportError, match="is not a time in UTC"):
        compose("ineligible_list", {"paper": list_paper()}, stamp=stamp)
