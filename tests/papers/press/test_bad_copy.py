"""Rules, boxes and strikes are still there in a bad photocopy (`tests.papers.bad_copy`)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from ledger.papers.press.compose import templates
from ledger.papers.press.printing import print_html
from tests.papers import bad_copy
from tests.papers.bad_copy import copied, drawn, faint, lines, lost, sharp
from tests.papers.samples import STAMP, list_paper

PAGE = """
{% extends "base/paper.html" %}
{% block title %}Lines{% endblock %}
{% block body %}
<table><tbody>
{% for place in range(7) %}
<tr style="font-size: {{ 9 + place / 7 }}pt"><td>&nbsp;</td></tr>
{% endfor %}
</tbody></table>
<p>Form</p>
<p style="font-size: 7.5pt; line-height: 1.3; color: var(--quiet)">Recorded on Sunday</p>
<table class="form"><tbody><tr><td></td><td></td></tr><tr><td></td><td></td></tr></tbody></table>
{{ part.room("Room", 2) }}
<p><span class="struck">Over the carrier limit</span></p>
<p style="font-size: 9pt"><span class="struck">Over the carrier limit</span></p>
<p>Over the carrier limit</p>
{% endblock %}
"""


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path: Path = tmp_path_factory.mktemp("copy") / "lines.pdf"
    html = templates().from_string(PAGE)
    given = {"paper": list_paper(), "stamp": STAMP[:19] + "Z", "unprintable": False}
    path.write_bytes(print_html(html.render(given), STAMP))
    return path


@pytest.fixture(scope="module")
def page(path: Path) -> Image.Image:
    return drawn(path)


def test_every_line_of_a_page_is_left(page: Image.Image) -> None:
    # 7 rules, a form's 3, room's 2, 2 strikes, the foot's.
    assert len(thick(lines(sharp(page)))) == 15
    assert lost(sharp(page), copied(page)) == []
    # A strike crosses words out and leaves them readable: 1.3 points are 4 dots.
    assert max(map(len, thick(lines(copied(page))))) <= 7


def thick(found: list[tuple[int, int, int]]) -> list[list[int]]:
    """The rows of each line, from the top."""
    every: list[list[int]] = []
    for row in sorted({row for row, _, _ in found}):
        if not every or every[-1][-1] < row - 1:
            every.append([])
        every[-1].append(row)
    return every


def test_every_upright_line_too(page: Image.Image) -> None:
    before, after = (np.transpose(dark) for dark in (sharp(page), copied(page)))
    assert len(lines(before)) >= 3
    assert lost(before, after) == []


def test_small_quiet_text_can_still_be_read(path: Path) -> None:
    assert faint(path) == []


def test_text_in_a_lighter_gray_is_noticed(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Under a stricter limit than any text meets, every line is faint."""
    monkeypatch.setattr(bad_copy, "READABLE", 1)
    assert "Recorded on Sunday" in faint(path)


def test_a_faint_line_is_noticed() -> None:
    """The check can fail: hair lines in gray, as papers had them, are gone."""
    page = Image.new("L", (400, 100), 255)
    page.paste(146, (10, 50, 390, 51))
    assert lines(sharp(page)) == [(50, 10, 390)]
    assert lost(sharp(page), copied(page)) == [(50, 10, 390)]
