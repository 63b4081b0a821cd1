"""A QR code as one SVG path, so templates draw it and need no raw markup."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

import segno

from ledger.errors import ReportError

QUIET = 4  # modules of white around the code: ISO/IEC 18004, from memory


@dataclass(frozen=True, slots=True)
class QrDrawing:
    """`side` is in modules, with the quiet zone; `path` is the SVG path of the dark modules."""

    side: int
    path: str


def draw_qr(text: str) -> QrDrawing:
    """The code of a text, error correction M. Raises ReportError if the text is too long."""
    try:
        code = segno.make_qr(text, error="m", boost_error=False)
    except segno.DataOverflowError:
        raise ReportError(
            f"a text of {len(text)} characters is too long for a QR code",
            hint="Print its digest instead, and attach the text to the paper.",
        ) from None
    runs = []
    for y, row in enumerate(code.matrix):
        x = QUIET
        for is_dark, modules in groupby(row):
            width = len(list(modules))
            if is_dark:
                runs.append(f"M{x} {y + QUIET}h{width}v1h-{width}z")
            x += width
    return QrDrawing(side=len(code.matrix) + 2 * QUIET, path="".join(runs))
