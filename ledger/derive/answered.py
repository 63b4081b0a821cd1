"""Which findings a case asks about, and whether its reviewers have answered."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.queries import queries
from ledger.derive.rule_header import rule_header

Row = Mapping[str, Any]
_ON_RIGHTS = frozenset({"scale", "order", "list", "stripes", "late"})
"""The parts of the procedure that a ruling on who carries settles for the child it names."""


@dataclass(frozen=True)
class Question:
    """A case; `answered_at` is when its ruling was entered, or its closing where there is none.

    Times are UTC text; `ruling` is a code, None without one.
    """

    case_id: str
    ruling: str | None
    answered_at: str | None
    due_at: str | None
    is_overdue: bool


class Questions:
    """The cases of an engine, by what they ask.

    A case asks about a finding that names it, or that has its game, team, player and reason; a
    protest about a child may have any reason. Where a case names no player and several findings
    fit, nothing tells which one was meant, so it is about none of them. A ruling that says who may
    play or carry is about that child's findings, whatever the case names.
    """

    def __init__(self, engine: Engine, rows: Sequence[Row]) -> None:
        self.cases = [row for row in engine.answer("cases").dicts() if row["state"] != "withdrawn"]
        self._of_event: dict[str, str] = {}
        self._rulings: defaultdict[str, list[Row]] = defaultdict(list)
        self._closed: dict[str, str] = {}
        for row in engine.answer("case_timeline").dicts():
            self._of_event[row["event_id"]] = row["case_id"]
            if row["kind"] == "ruling" and row["has_authority"]:
                self._rulings[row["case_id"]].append(row)
            if row["kind"] == "case_close" and row["withdrawn_by"] is None:
                self._closed.setdefault(row["case_id"], row["entered_at"])
        self._alike = Counter((*_subject(row), rule_header(row["rule"]).reason) for row in rows)

    def about(self, row: Row) -> Question | None:
        """The case about this finding: an open one first, then the last one opened."""
        found = [self.of(case) for case in self.cases if self._asks(case, row)]
        waiting = [one for one in found if one.answered_at is None]
        best = waiting or found
        return best[-1] if best else None

    def of(self, case: Row) -> Question:
        rulings = self._rulings[case["case_id"]]
        entered = max((row["entered_at"] for row in rulings), default=None)
        return Question(
            case_id=case["case_id"],
            ruling=case["ruling"],
            answered_at=entered or self._closed.get(case["case_id"]),
            due_at=case["due_at"],
            is_overdue=case["is_overdue"],
        )

    def _asks(self, case: Row, row: Row) -> bool:
        case_id, header = case["case_id"], rule_header(row["rule"])
        if header.area == "reviews":
            own = {self._of_event.get(event) for event in row["events"]}
            return case_id == row["case"] if row["case"] else case_id in own
        is_same = _subject(case) == _subject(row)
        if not row["player"]:
            is_only = self._alike[*_subject(row), header.reason] == 1
            return is_same and is_only and case["reason"] == header.reason
        if is_same and case["reason"] in (header.reason, "protest"):
            return True
        rulings = [one for one in self._rulings[case_id] if _subject(one) == _subject(row)]
        on_play = "play_right" in queries()[row["rule"]].inputs
        return any(
            (one["may_play"] and on_play)
            or ((one["may_play"] or one["may_carry"]) and header.area in _ON_RIGHTS)
            for one in rulings
        )


def _subject(row: Row) -> tuple[str | None, ...]:
    return row["game"], row["team"], row["player"]
