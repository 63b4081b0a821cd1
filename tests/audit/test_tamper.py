"""Someone with the file and plenty of time: every attack, and who notices.

The attacks are in tests/audit/attacks; README.md there has the table of outcomes.
"""

from __future__ import annotations

from collections import Counter

import pytest

from tests.audit.attacks.__main__ import README
from tests.audit.attacks.attack import COPY, NOBODY, carry_out
from tests.audit.attacks.table import GROUPS, all_attacks, format_table, table_in
from tests.audit.attacks.victim import victim

pytestmark = pytest.mark.usefixtures("remembering")
WRITE = "python -m tests.audit.attacks --write"


@pytest.mark.long
@pytest.mark.parametrize("group", GROUPS)
def test_each_attack_is_noticed_by_whom_it_should(group: str) -> None:
    outcomes = [(attack, carry_out(attack)) for attack in GROUPS[group]()]
    wrong = [
        (attack.name, attack.noticed_by, outcome)
        for attack, outcome in outcomes
        if outcome.noticed_by != attack.noticed_by
    ]
    assert wrong == []
    told = table_in(README.read_text(encoding="utf-8")).splitlines()
    missing = [row for row in format_table(outcomes).splitlines()[2:-1] if row not in told]
    assert missing == [], WRITE
    # What nobody notices leaves every event that a kept copy covers as it was.
    unnoticed = [(attack.name, out) for attack, out in outcomes if attack.noticed_by == NOBODY]
    assert not [name for name, outcome in unnoticed if outcome.reached_behind_a_copy]


def test_the_table_counts_every_attack() -> None:
    attacks = all_attacks()
    rows = {(attack.row, attack.noticed_by) for attack in attacks}
    table = table_in(README.read_text(encoding="utf-8")).splitlines()
    assert len(table) == 2 + len(rows) + 1, WRITE
    assert table[-1] == f"| all | | | {len(attacks):,} |", WRITE
    assert len(attacks) >= 2000


def test_what_nobody_notices_is_named() -> None:
    """Only these; both READMEs name them."""
    lines = Counter(attack.row for attack in all_attacks() if attack.noticed_by == NOBODY)
    names = {
        "a file handed in": ("the file name of an exhibit changed", "a case's file taken away"),
        "keys in the file": ("sealed key damaged", "private key of"),
        "when a phone witnessed": ("checkpoint kept earlier than others",),
        "order between chains": ("of different chains exchanged", "a third chain added"),
        "the newest events": (
            "an event deleted", "a forged event inserted", "the tail cut", "an older copy",
            "the chain rebuilt", "an erasure forged at the end", "key forged at the end",
        ),
    }  # fmt: skip
    known = [words for group in names.values() for words in group]
    assert [line for line in lines if not any(words in line for words in known)] == []


def test_the_season_has_something_of_everything() -> None:
    whole = victim()
    assert len(whole.kept) == 10
    assert {whole.behind("office"), whole.behind("tent")} == {51, 4}
    assert any(attack.noticed_by == COPY for attack in GROUPS["tails"]())
