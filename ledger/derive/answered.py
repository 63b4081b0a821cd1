"""Which findings a case asks about, and which of them its reviewers have settled."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.rule_header import RIGHTS, rule_header

Row = Mapping[str, Any]
Moment = tuple[str, int]
"""When, and the place in the ledger, which settles equal times."""
_SUBJECT = ("game", "team", "player")


@dataclass(frozen=True)
class Question:
    """A case; `answered_at` is when its ruling was entered, or its closing where there is none.

    Times are UTC text; `ruling` is a code, None without one. Beside a finding, `settles` says
    whether that answer is one to the finding. `effects` are the words for what its rulings give.
    """

    case_id: str
    ruling: str | None
    answered_at: str | None
    due_at: str | None
    is_overdue: bool
    settles: bool = True
    effects: tuple[str, ...] = ()


class Questions:
    """The cases of an engine, and what they say of its findings (`rows`); `stated` has its
    statements by event id.

    A case stands beside a finding that names it, or that has its game, team, player and reason;
    beside all of a child's for a protest about the child, and beside those on rights for a ruling
    on the child's. Where a case names no player and several findings fit, nothing tells which one
    was meant, so it stands beside none of them.

    It settles fewer (`_is_about`, `_grants`), and those only by what was entered after all that
    they point at. What is still to do, or is about a whole team or game, can turn out otherwise
    until the last half has ended.
    """

    def __init__(self, engine: Engine, rows: Sequence[Row], stated: Mapping[str, Row]) -> None:
        self.cases = [row for row in engine.answer("cases").dicts() if row["state"] != "withdrawn"]
        self._entered: dict[str, Moment] = {
            event: (row["entered_at"], row["position"]) for event, row in stated.items()
        }
        self._over: dict[str, Moment] = {
            row["game"]: (row["kickoff_at"], 0) for row in engine.answer("game").dicts()
        }
        for row in engine.answer("half_end").dicts():
            self._over[row["game"]] = (row["ended_at"], row["position"])
        self._of_event: dict[str, str] = {}
        self._rulings: defaultdict[str, list[Row]] = defaultdict(list)
        self._closings: defaultdict[str, list[Row]] = defaultdict(list)
        for row in engine.answer("case_timeline").dicts():
            self._of_event[row["event_id"]] = row["case_id"]
            if row["kind"] == "ruling" and row["has_authority"]:
                self._rulings[row["case_id"]].append(row)
            if row["kind"] == "case_close" and row["withdrawn_by"] is None:
                self._closings[row["case_id"]].append(row)
        self._rows = [_with_reason(row) for row in rows]

    def beside(self, row: Row) -> Question | None:
        """An open case first, then one that settles the finding, then another one."""
        found = [one for case in self.cases if (one := self._beside(case, row))]
        waiting = [one for one in found if one.answered_at is None]
        best = waiting or [one for one in found if one.settles] or found
        return best[-1] if best else None

    def of(self, case: Row) -> Question:
        events = self._answers(case["case_id"])
        return Question(
            case_id=case["case_id"],
            ruling=case["ruling"],
            answered_at=max((self._entered[event] for event in events), default=(None, 0))[0],
            due_at=case["due_at"],
            is_overdue=case["is_overdue"],
            effects=self._effects(case["case_id"]),
        )

    def _effects(self, case_id: str) -> tuple[str, ...]:
        """What it ruled last on each child: "quokkas 21 in acorn-2a may carry"."""
        rows = sorted(self._rulings[case_id], key=lambda row: self._entered[row["event_id"]])
        last = {_subject(row): row for row in rows if any(row[right] for right in RIGHTS)}
        return tuple(row["what"].partition(". ")[2] for row in last.values())

    def _answers(self, case_id: str) -> list[str]:
        """The events of its rulings, or of its closing."""
        rows = self._rulings[case_id] or self._closings[case_id][:1]
        return [row["event_id"] for row in rows]

    def _beside(self, case: Row, row: Row) -> Question | None:
        header = rule_header(row["rule"])
        is_about = self._is_about(case, row)
        on_child = [one for one in self._rulings[case["case_id"]] if _subject(one) == _subject(row)]
        on_rights = [one for one in on_child if any(one[right] for right in RIGHTS)]
        if not (is_about or self._may_be_about(case, row) or (header.right and on_rights)):
            return None
        answers = [one["event_id"] for one in on_rights if header.right and one[header.right]]
        answers += self._answers(case["case_id"]) if is_about else []
        settles = any(self._entered[event] > self._since(row) for event in answers)
        return replace(self.of(case), settles=settles)

    def _is_about(self, case: Row, row: Row) -> bool:
        """Nothing else can have been meant."""
        header = rule_header(row["rule"])
        if header.area == "reviews":
            own = {row["case"]} if row["case"] else {*map(self._of_event.get, row["events"])}
            return case["case_id"] in own
        if _subject(case) != _subject(row):
            return False
        is_alike = bool(case["reason"] == header.reason)
        if row["player"]:
            return is_alike or (case["reason"] == "protest" and self._is_only(row, *_SUBJECT))
        if row["team"]:
            is_only = self._is_only(row, "game", "team", "reason")
            return is_alike and is_only and header.about == "team"
        is_only = self._is_only(row, "game", "reason")
        return is_alike and is_only and header.about in ("game", "scale")

    def _may_be_about(self, case: Row, row: Row) -> bool:
        header = rule_header(row["rule"])
        if header.area == "reviews" or _subject(case) != _subject(row):
            return False
        if row["player"]:
            return bool(case["reason"] == "protest")
        return case["reason"] == header.reason and self._is_only(row, *_SUBJECT, "reason")

    def _is_only(self, row: Row, *keys: str) -> bool:
        """No other finding is alike in these."""
        mine = _with_reason(row)
        return sum(all(one[key] == mine[key] for key in keys) for one in self._rows) == 1

    def _since(self, row: Row) -> Moment:
        """Only what is entered later can settle the finding."""
        header = rule_header(row["rule"])
        seen = [self._entered[event] for event in row["events"] if event in self._entered]
        is_whole = not row["player"] and not row["at"] and header.area != "reviews"
        if header.due or is_whole or not row["events"]:
            seen.append(self._over[row["game"]])
        return max(seen, default=("", 0))


def _subject(row: Row) -> tuple[str | None, ...]:
    return tuple(row[key] for key in _SUBJECT)


def _with_reason(row: Row) -> dict[str, Any]:
    return {**row, "reason": rule_header(row["rule"]).reason}
