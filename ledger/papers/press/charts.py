"""Bar charts as SVG, readable in gray, with the number beside every bar.

A chart is as wide as a paper's text, one unit a point, so its letters match the paper's. Labels
are our words or local dates, never text that people typed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

WIDTH = 527
"""Points between the margins of US Letter."""
_LABEL, _NUMBER, _GAP = 206, 86, 6
_LINE, _BAR, _SIZE = 12, 11, 9.5
_INK, _FILL = "#000", "#17414f"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A drawing: `svg` is a whole SVG document, `alt` says in words what it shows."""

    svg: str
    alt: str
    caption: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One bar, with its label on the left and its number on the right."""

    label: str
    value: int


def draw_bars(bars: Sequence[Bar], *, title: str, caption: str) -> Figure:
    """Bars one below the other, on one scale.

    The text alternative is the title and every label with its number.
    """
    longest = max((bar.value for bar in bars), default=0) or 1
    parts: list[str] = []
    top = 2
    for bar in bars:
        parts += [_text(0, top, bar.label), *_bar(bar, top, longest)]
        top += _LINE + _GAP
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {top}" '
        f'width="{WIDTH}pt" height="{top}pt">{"".join(parts)}</svg>'
    )
    said = "; ".join(f"{bar.label}: {bar.value:,}" for bar in bars)
    return Figure(svg=svg, alt=f"{title}. {said}.", caption=caption)


def _bar(bar: Bar, top: int, longest: int) -> list[str]:
    room = WIDTH - _LABEL - _NUMBER
    width = max(round(room * bar.value / longest), 2) if bar.value else 0
    filled = (
        f'<rect x="{_LABEL}" y="{top + 0.5:g}" width="{width}" height="{_BAR}" fill="{_FILL}" '
        f'stroke="{_INK}" stroke-width="0.85"/>'
    )
    number = _text(_LABEL + width + 6, top, f"{bar.value:,}", weight="bold")
    return [*[filled] * bool(width), number]


def _text(x: float, top: int, text: str, *, weight: str = "normal") -> str:
    return (
        f'<text x="{x:g}" y="{top + _LINE * 0.78:g}" font-family="NotoSans" '
        f'font-size="{_SIZE}" fill="{_INK}" font-weight="{weight}">{escape(text)}</text>'
    )
