"""Bar charts as SVG, readable in gray, with the number beside every bar.

A chart is as wide as a paper's text, one unit a point, so its letters match the paper's. Labels
are our words or local dates, never text that people typed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from textwrap import wrap

WIDTH = 527
"""Points between the margins of US Letter."""
_NUMBER, _GAP = 86, 6
_LETTER = 5.0
"""Width of a letter in points, on the wide side, to break labels into lines."""
_LINE, _BAR, _SIZE = 12, 11, 9.5
_INK, _FILL = "#111a21", "#17414f"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A drawing: `svg` is a whole SVG document, `alt` says in words what it shows."""

    svg: str
    alt: str
    caption: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One bar: `value` is filled and the rest up to `of` outlined; without `of` all is filled."""

    label: str
    value: int
    of: int | None = None

    @property
    def number(self) -> str:
        if self.of is None:
            return f"{self.value:,}"
        return f"{self.value:,} of {self.of:,}" if self.of else "none yet"


def draw_bars(
    bars: Sequence[Bar], *, title: str, caption: str, label: int = 206, longest: int = 0
) -> Figure:
    """Bars one below the other, with labels `label` points wide.

    With `of`, each bar is a share of its own whole. Without, all share one scale: the longest bar,
    or `longest` for several charts on one scale. The text alternative is the title and every label
    with its number.
    """
    longest = max([longest, *(bar.value for bar in bars)]) or 1
    parts: list[str] = []
    top = 2
    for bar in bars:
        lines = wrap(bar.label, int(label / _LETTER)) or [""]
        parts += [_text(0, top + _LINE * (row + 0.78), line) for row, line in enumerate(lines)]
        parts += _bar(bar, label, top + (len(lines) - 1) * _LINE / 2, longest)
        top += len(lines) * _LINE + _GAP
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {top}" '
        f'width="{WIDTH}pt" height="{top}pt">{"".join(parts)}</svg>'
    )
    said = "; ".join(f"{bar.label}: {bar.number}" for bar in bars)
    return Figure(svg=svg, alt=f"{title}. {said}.", caption=caption)


def _bar(bar: Bar, left: int, top: float, longest: int) -> list[str]:
    room = WIDTH - left - _NUMBER
    whole = longest if bar.of is None else bar.of
    filled = max(round(room * bar.value / whole), 2) if whole and bar.value else 0
    if bar.of is not None and bar.value < bar.of:
        filled = min(filled, room - 3)  # rounding must not hide what is left
    end = room if bar.of else filled
    number = _text(left + end + 6, top + _LINE * 0.78, bar.number, weight="bold")
    rectangles = [(room, "#ffffff")] * bool(bar.of) + [(filled, _FILL)] * bool(filled)
    return [*(_rectangle(left, top, width, fill=fill) for width, fill in rectangles), number]


def _rectangle(left: int, top: float, width: int, *, fill: str) -> str:
    return (
        f'<rect x="{left}" y="{top + 0.5:g}" width="{width}" height="{_BAR}" fill="{fill}" '
        f'stroke="{_INK}" stroke-width="0.8"/>'
    )


def _text(x: float, y: float, text: str, *, weight: str = "normal") -> str:
    return (
        f'<text x="{x:g}" y="{y:g}" font-family="NotoSans" font-size="{_SIZE}" fill="{_INK}" '
        f'font-weight="{weight}">{escape(text)}</text>'
    )
