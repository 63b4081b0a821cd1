"""The path of a QR code draws exactly the code's dark modules."""

from __future__ import annotations

import re

import pytest
import segno

from ledger.errors import ReportError
from ledger.papers.press.qr import QUIET, draw_qr
from tests.papers.samples import CHECKPOINT


def test_the_path_is_the_code() -> None:
    drawing = draw_qr(CHECKPOINT)
    dark = {
        (int(x) + step, int(y))
        for x, y, width in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\3z", drawing.path)
        for step in range(int(width))
    }
    matrix = segno.make_qr(CHECKPOINT, error="m", boost_error=False).matrix
    assert drawing.side == len(matrix) + 2 * QUIET
    assert dark == {
        (x + QUIET, y + QUIET)
        for y, row in enumerate(matrix)
        for x, module in enumerate(row)
        if module
    }
    assert re.sub(r"M\d+ \d+h(\d+)v1h-\1z", "", drawing.path) == ""


def test_a_text_that_is_too_long_is_refused() -> None:
    # Version 40-M holds 2,331 bytes: ISO/IEC 18004, from memory.
    assert draw_qr("x" * 2331).side == 177 + 2 * QUIET
    with pytest.raises(ReportError) as caught:
        draw_qr("x" * 2332)
    assert "2332" in caught.value.message
    assert "attach" in caught.value.hint
