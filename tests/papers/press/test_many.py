"""Many papers at once: the same bytes, all or none, and an error that names its paper."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger.errors import ReportError
from ledger.papers.press.heads import attached
from ledger.papers.press.many import cores, render_all
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from tests.papers.pdf_checks import check_pdf
from tests.papers.samples import CHECKPOINT, STAMP, blank_paper, list_paper

LIST = Sheet("ineligible_list", {"paper": list_paper()}, STAMP, attached(CHECKPOINT, "office:57"))
BLANK = Sheet("blank_list", {"paper": blank_paper(("Robin Sample", "Kid 😀"))}, STAMP)
BROKEN = replace(LIST, context={"paper": blank_paper(())})
PAPERS = [("a.pdf", LIST), ("b.pdf", BLANK), ("c.pdf", LIST)]


class DeadlyPaper:
    """Ends the process that opens it, as a system without memory would."""

    def __reduce__(self) -> tuple[Any, ...]:
        return os._exit, (1,)


def nothing_left(folder: Path) -> bool:
    return [path.name for path in folder.iterdir()] == []


@pytest.mark.parametrize("processes", [1, 2])
def test_the_bytes_are_those_of_one_by_one(processes: int, tmp_path: Path) -> None:
    done = []
    count = render_all(
        PAPERS, tmp_path / "out", processes=processes, on_paper=lambda: done.append(1)
    )
    assert (count, len(done)) == (3, 3)
    for name, sheet in PAPERS:
        render_sheet(sheet, tmp_path / name)
        assert (tmp_path / "out" / name).read_bytes() == (tmp_path / name).read_bytes()
        check_pdf(tmp_path / "out" / name)
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["a.pdf", "b.pdf", "c.pdf"]
    assert stat.S_IMODE((tmp_path / "out").stat().st_mode) == 0o700


@pytest.mark.parametrize("processes", [1, 2])
def test_an_error_names_its_paper_and_nothing_is_left(processes: int, tmp_path: Path) -> None:
    papers = [("a.pdf", LIST), ("broken.pdf", BROKEN), ("c.pdf", LIST)]
    with pytest.raises(ReportError, match=r"^broken\.pdf: .*has no attribute") as caught:
        render_all(papers, tmp_path / "out", processes=processes, on_paper=lambda: None)
    assert "ledger/papers/sheets" in caught.value.hint
    assert nothing_left(tmp_path)


def test_a_process_that_dies_is_told(tmp_path: Path) -> None:
    papers = [("deadly.pdf", replace(LIST, context={"paper": DeadlyPaper()}))]
    with pytest.raises(ReportError, match=r"deadly\.pdf: the process .* died") as caught:
        render_all(papers, tmp_path / "out", processes=2, on_paper=lambda: None)
    assert "memory" in caught.value.hint
    assert nothing_left(tmp_path)


@pytest.mark.parametrize("processes", [1, 2])
def test_stopped_in_the_middle_leaves_nothing(processes: int, tmp_path: Path) -> None:
    def stopped() -> Iterator[tuple[str, Sheet]]:
        yield PAPERS[0]
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        render_all(stopped(), tmp_path / "out", processes=processes, on_paper=lambda: None)
    assert nothing_left(tmp_path)


def test_an_empty_folder_is_filled_and_another_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert render_all(PAPERS[:1], tmp_path / "empty", processes=1, on_paper=lambda: None) == 1
    with pytest.raises(ReportError, match="already exists") as caught:
        render_all(PAPERS[:1], tmp_path / "empty", processes=1, on_paper=lambda: None)
    assert "an empty one" in caught.value.hint
    (tmp_path / "file").write_text("mine")
    with pytest.raises(ReportError, match="already exists"):
        render_all(PAPERS[:1], tmp_path / "file", processes=1, on_paper=lambda: None)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["empty", "file"]
    assert (tmp_path / "file").read_text() == "mine"


def test_a_folder_in_no_folder(tmp_path: Path) -> None:
    with pytest.raises(ReportError, match="No such file or directory"):
        render_all(PAPERS, tmp_path / "no" / "out", processes=1, on_paper=lambda: None)


def test_two_papers_of_one_name(tmp_path: Path) -> None:
    papers = [("a.pdf", LIST), ("A.pdf", LIST)]
    with pytest.raises(ReportError, match=r"two papers would be called A\.pdf"):
        render_all(papers, tmp_path / "out", processes=1, on_paper=lambda: None)
    assert nothing_left(tmp_path)


def test_there_is_at_least_one_core() -> None:
    assert cores() >= 1
