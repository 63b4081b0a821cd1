"""An event's id stands in a text as small as a footnote, and nothing else of the text is markup."""

from __future__ import annotations

import re

import pytest

from ledger.papers.press.event_ids import small_ids
from ledger.resources import folder
from tests.papers.samples import HOSTILE


def test_an_id_in_brackets_is_set_apart() -> None:
    said = small_ids("Sep 5, A. Weigher: Passed on. “We <3 rules” [field-2:57]")
    assert said == (
        'Sep 5, A. Weigher: Passed on. “We &lt;3 rules”<span class="id"> [field-2:57]</span>'
    )


@pytest.mark.parametrize("text", [*HOSTILE, "[no id]", "[a:b]", "8:41 AM", "[<b>:1]"])
def test_all_other_text_is_escaped_as_it_was(text: str) -> None:
    from markupsafe import escape

    assert small_ids(text) == escape(text)


def test_ids_are_as_small_as_the_foot() -> None:
    style = (folder("report_templates") / "base/parts.css").read_text()
    page = (folder("report_templates") / "base/page.css").read_text()
    (small,) = re.findall(r"^\.id, [^{]*\{ font-size: ([\d.]+)pt", style, re.MULTILINE)
    (foot,) = re.findall(r"\.foot \{[^}]*font-size: ([\d.]+)pt", page)
    assert float(small) <= float(foot)


def test_no_space_stands_before_a_span_that_may_not_fit() -> None:
    """The typesetter broke such a line at its first space: “game”, and the rest below it."""
    for page in folder("report_templates").glob("review_packet/*.html"):
        spaced = re.search(r"\}\}(?:\{%[^%]*%\})? <span class=\"said\"", page.read_text())
        assert not spaced, page.name
