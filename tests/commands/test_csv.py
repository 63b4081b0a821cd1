"""--format csv: what people typed starts no formula."""

from __future__ import annotations

import pytest

from ledger.commands.shared import show


def test_a_formula_stays_text(capsys: pytest.CaptureFixture[str]) -> None:
    rows = [{"initials": "=1+1", "number": 7, "events": ["office:1", "office:2"], "by": None}]
    show(("initials", "number", "events", "by"), rows, "csv", table={}, empty="")
    assert capsys.readouterr().out == "initials,number,events,by\n'=1+1,7,office:1 office:2,\n"
