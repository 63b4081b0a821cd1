"""What a bad photocopy leaves of a page: blurred, in black and white, at 200 dots an inch.

Common practice, no source: an old copier's glass is not clean and its toner runs low.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
from PIL import Image, ImageFilter

DOTS = 200
BLUR = 1.0
"""The blur's standard deviation in dots: an eighth of a millimeter."""
LIGHT = 128
"""Grays from here on are lost."""
SHORTEST = DOTS * 10 // 25
"""About 10 mm: shorter lines are parts of letters."""
READABLE = 0.5
"""Text that keeps less of its ink falls apart: our own reading of copies in nine grays."""
Dark = np.ndarray[Any, np.dtype[np.bool_]]


def drawn(path: Path, page: int = 0) -> Image.Image:
    document = pypdfium2.PdfDocument(path)
    try:
        picture: Image.Image = document[page].render(scale=DOTS / 72, grayscale=True).to_pil()
    finally:
        document.close()
    return picture


def sharp(picture: Image.Image) -> Dark:
    """Where there is ink at all."""
    return np.asarray(picture) < 200


def copied(picture: Image.Image) -> Dark:
    """What is left in the copy."""
    return np.asarray(picture.filter(ImageFilter.GaussianBlur(BLUR))) < LIGHT


def lines(dark: Dark) -> list[tuple[int, int, int]]:
    """Each run of ink from left to right that is too long for a letter: row, start, end."""
    found = []
    for row, dots in enumerate(dark):
        edges = np.flatnonzero(np.diff(np.concatenate(([False], dots, [False])).astype(np.int8)))
        runs = zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)
        found += [(row, start, end) for start, end in runs if end - start >= SHORTEST]
    return found


def lost(before: Dark, after: Dark) -> list[tuple[int, int, int]]:
    """The lines of which a twentieth or more is gone, one row above and below looked at too."""
    kept = after | np.roll(after, 1, axis=0) | np.roll(after, -1, axis=0)
    return [
        (row, start, end) for row, start, end in lines(before) if kept[row, start:end].mean() < 0.95
    ]


def faint(path: Path, page: int = 0) -> list[str]:
    """The lines of text of which little is left to read."""
    document = pypdfium2.PdfDocument(path)
    try:
        height, text = document[page].get_size()[1], document[page].get_textpage()
        boxes = [text.get_rect(index) for index in range(text.count_rects())]
        texts = [text.get_text_bounded(*box) for box in boxes]
    finally:
        document.close()
    before, after = sharp(drawn(path, page)), copied(drawn(path, page))
    found = []
    for (left, bottom, right, top), said in zip(boxes, texts, strict=True):
        rows = slice(_dots(height - top), _dots(height - bottom) + 1)
        columns = slice(_dots(left), _dots(right) + 1)
        if after[rows, columns].sum() < READABLE * before[rows, columns].sum():
            found.append(said)
    return found


def _dots(points: float) -> int:
    return int(points * DOTS / 72)
