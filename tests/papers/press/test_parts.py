"""The parts that later papers share: figure, integrity."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.papers.press.charts import Figure
from ledger.papers.press.compose import templates
from ledger.papers.press.finish import finish
from ledger.papers.press.printing import print_html
from tests.papers.pdf_checks import check_pdf, pdf_problems
from tests.papers.samples import STAMP, list_paper, pages, squeeze

PAGE = """
{% extends "base/paper.html" %}
{% block title %}Parts{% endblock %}
{% block body %}
<h1>Parts</h1>
{{ part.figure(drawing) }}
{{ part.integrity(paper.head) }}
<p><a href="#there">See there</a></p><p id="there">There</p>
{% endblock %}
"""
SVG = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 100">
<rect x="0" y="10" width="300" height="20" fill="#17414f"/>
<text x="0" y="60">Fox bars</text>%s</svg>
"""


def made(to: Path, extra: str = "") -> None:
    drawing = Figure(svg=SVG % extra, alt="Bars of plays for each player", caption="Plays")
    page = templates().from_string(PAGE)
    html = page.render(
        drawing=drawing, paper=list_paper(), stamp=STAMP[:19] + "Z", unprintable=False
    )
    to.write_bytes(finish(print_html(html, STAMP), STAMP))


def test_they_keep_the_rules_and_are_read(tmp_path: Path) -> None:
    made(tmp_path / "parts.pdf")
    check_pdf(tmp_path / "parts.pdf")
    text = squeeze("".join(pages(tmp_path / "parts.pdf")))
    for said in (
        "Fox bars",
        "How to check this paper",
        "3f9a02bc 77de1a40 3f9a02bc 77de1a40",
        "This shows that the statements are unchanged, not that they are true.",
    ):
        assert squeeze(said) in text
    assert "text alternative" not in "\n".join(pdf_problems(tmp_path / "parts.pdf"))


@pytest.mark.parametrize(
    "extra", ['<image href="file:///etc/hostname" width="9" height="9"/>', "</svg><svg>", "<g>"]
)
def test_a_drawing_that_cannot_be_drawn_stops_the_paper(extra: str, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="a drawing cannot be drawn"):
        made(tmp_path / "parts.pdf", extra)
    assert not (tmp_path / "parts.pdf").exists()
