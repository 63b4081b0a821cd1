"""Bars for papers, drawn by hand as SVG: they are read in grey, and their numbers stand beside.

A bar is filled where something was done and hatched where it is missing; kinds of one whole are
told apart by their filling, never by colour alone. A bar holds no letters: what it shows is in
the text alternative, in words, and in the cell beside it. Lengths are whole hundredths of a bar,
so that the same numbers give the same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence

from ledger.papers.context import Figure

WIDTH, HEIGHT, LOW = 1000, 80, 36
"""A bar in its own units; the bar of one whole goes across the page and is lower."""
INK, ACCENT, GREY, PALE = "#111a21", "#17414f", "#8a949a", "#d5dadd"
_STRIPE = 28
_STUB = 170
_SWATCH = 240

FILLINGS = ("solid", "dotted", "pale", "hatched")
"""How the parts of one whole are filled, in their order."""


def share_bar(done: int, due: int) -> Figure:
    """What was done of what was due; nothing due is an empty bar."""
    if not due:
        return _figure([], "nothing was due")
    edge = _length(done, due)
    parts = [_part("solid", 0, edge), _part("hatched", edge, WIDTH)]
    return _figure(parts, f"bar: {done:,} of {due:,}")


def count_bar(count: int, most: int) -> Figure:
    """A count, on a scale that ends at `most`."""
    return _figure([_part("solid", 0, _length(count, most))], f"bar: {count:,}", framed=False)


def kept_bar(words: str) -> Figure:
    """Stands for a count that is kept back: as long for every one."""
    return _figure([_part("hatched", 0, _STUB)], f"no bar: {words}", framed=False)


def whole_bar(counts: Sequence[tuple[str, int]]) -> Figure:
    """One whole and its parts (at most four), each with its word, in the order of FILLINGS."""
    whole = sum(count for _, count in counts)
    begin, before, parts = 0, 0, []
    for filling, (_, count) in zip(FILLINGS, counts, strict=False):
        before += count
        end = _length(before, whole)
        parts.append(_part(filling, begin, end, LOW))
        begin = end
    said = ", ".join(f"{word} {count:,}" for word, count in counts)
    return _figure(parts, f"bar of {whole:,}: {said}", height=LOW)


def swatch(filling: str) -> Figure:
    """The key to a filling, for a legend."""
    return _figure([_part(filling, 0, _SWATCH)], f"{filling} part of the bar", width=_SWATCH)


def _length(count: int, whole: int) -> int:
    """Never nothing for something, never all for less than all."""
    if count <= 0 or whole <= 0:
        return 0
    length = WIDTH * count // whole
    return WIDTH if count >= whole else min(max(length, 12), WIDTH - 12)


def _part(filling: str, begin: int, end: int, height: int = HEIGHT) -> str:
    if end <= begin:
        return ""
    fill = {"solid": ACCENT, "dotted": GREY, "pale": PALE, "hatched": "#ffffff"}[filling]
    drawn = (
        f'<rect x="{begin}" y="0" width="{end - begin}" height="{height}" fill="{fill}"'
        f' stroke="{INK}" stroke-width="{_stroke(height)}"/>'
    )
    step = _STRIPE if height == HEIGHT else _STRIPE // 3
    marks = range(begin + step, end - step // 3, step)
    if marks and filling == "hatched":
        lines = "".join(f"M{x} 0V{height}" for x in marks)
        drawn += f'<path d="{lines}" stroke="{INK}" stroke-width="{_stroke(height)}"/>'
    if marks and filling == "dotted":
        size = step // 3
        lines = "".join(f"M{x - size // 2} {height // 2}h{size}" for x in marks)
        drawn += f'<path d="{lines}" stroke="{INK}" stroke-width="{size}"/>'
    return drawn


def _stroke(height: int) -> int:
    """A low bar is drawn large."""
    return 2 if height == LOW else 6


def _figure(
    parts: Sequence[str],
    alt: str,
    *,
    framed: bool = True,
    width: int = WIDTH,
    height: int = HEIGHT,
) -> Figure:
    frame = (
        f'<rect x="0" y="0" width="{width}" height="{height}" fill="none" stroke="{INK}"'
        f' stroke-width="{_stroke(height)}"/>'
    )
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-4 -4 {width + 8} {height + 8}"'
        f' width="{width + 8}" height="{height + 8}">{"".join(parts)}'
        f"{frame if framed else ''}</svg>"
    )
    return Figure(svg=svg, alt=alt, caption="")
