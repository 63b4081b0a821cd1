"""Find what the rules find: every file of `sql/findings/` is one rule, under the file's name.

To add a rule, add a file. A finding points at statements; it accuses nobody and decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterable

from ledger.derive.engine import Answer, Engine
from ledger.derive.queries import FINDINGS, queries
from ledger.errors import InputError
from ledger.suggest import suggest_hint

SHAPE = {
    "rule": "varchar", "game": "varchar", "team": "varchar", "player": "varchar",
    "official": "varchar", "side": "varchar", "case_id": "varchar", "happened_at": "timestamp",
    "positions": "bigint[]", "detail": "varchar",
}  # fmt: skip
"""The columns of a finding with their types; those that a rule does not fill are null."""


def rules() -> list[str]:
    """Return the names of the rules, in code point order."""
    return sorted(query.name for query in queries().values() if query.room == FINDINGS)


def refuse_unknown(rule: str) -> None:
    """Raise InputError for an unknown rule, with a suggestion, or else all rules."""
    names = rules()
    if rule not in names:
        hint = suggest_hint(rule, names, f"The rules: {', '.join(names)}.")
        raise InputError(f"no rule {rule}", hint=hint)


def find(
    engine: Engine,
    *,
    game: str | None = None,
    team: str | None = None,
    rule: str | None = None,
    among: Iterable[str] | None = None,
) -> Answer:
    """Return findings in the order and columns of sql/README.md, sections 10 and 12.

    `game` and `team` keep the findings with that game or team; `rule` runs only that rule,
    `among` only these. InputError for an unknown `rule`.
    """
    if rule is not None:
        refuse_unknown(rule)
        among = [rule]
    engine.unite("finding", SHAPE, rules() if among is None else among)
    return engine.answer("findings", game=game, team=team)
