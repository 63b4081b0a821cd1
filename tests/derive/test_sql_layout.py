"""`make test` lints sql/ with sqlfluff; this tests that pyproject.toml's settings take effect."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlfluff.core import FluffConfig, Linter

from ledger.resources import folder

GOOD = """\
with final as (
    select
        game.game,
        [position] as positions,
    from game
)

select * from final
order by game
"""


@pytest.fixture(scope="module")
def linter() -> Linter:
    config = Path(__file__).parents[2] / "pyproject.toml"
    return Linter(config=FluffConfig.from_path(str(config)))


def broken(linter: Linter, text: str) -> set[str]:
    return {fault.rule_code() for fault in linter.lint_string(text).get_violations()}


def test_our_layout_passes(linter: Linter) -> None:
    assert broken(linter, GOOD) == set()
    rule = folder("sql") / "findings" / "late_after_half.sql"
    assert broken(linter, rule.read_text(encoding="utf-8")) == set()


@pytest.mark.parametrize(
    ("now", "then", "code"),
    [
        ("    from game", "    FROM game", "CP01"),
        ("as positions", "as Positions", "CP02"),
        ("[position]", "LIST(position)", "CP03"),
        ("game.game,\n", "game.game\n        , ", "LT04"),
        ("        game.game", "      game.game", "LT02"),
        ("[position]", f"[{'position + ' * 7}0]", "LT05"),
        ("game.game,\n        [position] as positions,\n    from game",
         "gg.game,\n        [position] as positions,\n    from game as g", "AL06"),
        ("[position] as", "[position]", "AL02"),
        (")\n\nselect", ")\nselect", "LT08"),
        ("order by game", "order by by game", "PRS"),
    ],
)  # fmt: skip
def test_another_layout_does_not(linter: Linter, now: str, then: str, code: str) -> None:
    assert now in GOOD
    assert code in broken(linter, GOOD.replace(now, then))
