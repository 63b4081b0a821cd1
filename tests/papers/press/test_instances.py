"""One weight of a variable font: by HarfBuzz, and by fontTools where HarfBuzz cannot."""

from __future__ import annotations

import io

import pytest
from fontTools.ttLib import TTFont

from ledger.papers.press import instances
from ledger.papers.press.instances import by_font_tools, font_of_weight
from ledger.papers.press.letters import font_folder

SMALL = "NotoSansHebrew[wght].ttf"


def shapes(font: bytes) -> list[object]:
    """Width and outline of every glyph, by number."""
    with TTFont(io.BytesIO(font)) as opened:
        assert "fvar" not in opened
        drawn = (list(opened["glyf"][name].getCoordinates(opened["glyf"])[0])
                 for name in opened.getGlyphOrder())  # fmt: skip
        widths = (opened["hmtx"][name] for name in opened.getGlyphOrder())
        return list(zip(widths, drawn, strict=True))


def test_both_draw_the_same_letters() -> None:
    regular, bold = (shapes(font_of_weight(SMALL, weight)) for weight in (400, 700))
    slow = by_font_tools((font_folder() / SMALL).read_bytes(), 700)
    assert bold == shapes(slow) != regular


def test_a_machine_without_it_prints_too(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(instances, "HARFBUZZ_SUBSET", ("libnone.so.0",))
    instances.harfbuzz.cache_clear()
    try:
        assert instances.harfbuzz() is None
        assert shapes(font_of_weight.__wrapped__(SMALL, 700))
    finally:
        instances.harfbuzz.cache_clear()
