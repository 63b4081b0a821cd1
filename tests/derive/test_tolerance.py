"""The check of the scale against NIST Handbook 44, class III, maintenance tolerance."""

import json
from decimal import Decimal
from pathlib import Path

import pytest

from ledger.derive.engine import Engine
from ledger.record.league import read_league
from ledger.store.store import Head, Stored, make_rows

VECTORS = json.loads((Path(__file__).parent.parent / "vectors" / "scale.json").read_text())
RECORDED = "2026-09-05T13:00:00.000Z"
LEAGUE = """
[league]
name = "Invented"
season = "2026"
time_zone = "America/Chicago"
[weigh_in]
check_weight_lb = {load_lb}
scale_division_lb = {d_lb}
"""


@pytest.mark.parametrize("case", VECTORS["cases"], ids=lambda c: f"{c['load_lb']} by {c['d_lb']}")
def test_tolerance_at_the_load_of_the_check_weight(case: dict[str, str]) -> None:
    league, faults = read_league(LEAGUE.format(**case))
    assert league, faults
    rows, _ = make_rows([league], chain="office", head=Head(), recorded=RECORDED)
    engine = Engine([Stored(RECORDED, "office", 1, rows[0].body)])
    (row,) = engine.answer("check_weight").dicts()
    assert Decimal(row["tolerance_clb"]) / 100 == Decimal(case["tolerance_lb"])
