"""A QR code as one SVG path, so that the templates draw it and nothing is passed as raw markup."""

from __future__ import annotations

from dataclasses import dataclass

import segno

from ledger.errors import ReportError

QUIET = 4  # modules of white around the code: ISO/IEC 18004, from memory


@dataclass(frozen=True, slots=True)
class QrDrawing:
    """`side` in modules with the quiet zone; `path` is the SVG path of the dark modules."""

    side: int
    path: str


def draw_qr(text: str) -> QrDrawing:
    """The code of a text, error correction M. Raises ReportError where the text is too long."""
    try:
        code = segno.make_qr(text, error="m", boost_error=False)
    except segno.DataOverflowError:
        raise ReportError(
            f"a text of {len(text)} characters is too long for a QR code",
            hint="Print its digest instead, and attach the text to the paper.",
        ) from None
    runs = []
    for y, row in enumerate(code.matrix):
        x = 0
        while x < len(row):
            width = 0
            while x + width < len(row) and row[x + width]:
                width += 1
            if width:
                runs.append(f"M{x + QUIET} {y + QUIET}h{width}v1h-{width}z")
            x += width or 1
    return QrDrawing(side=len(code.matrix) + 2 * QUIET, path="".join(runs))
