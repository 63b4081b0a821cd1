"""The season summary's numbers as a file beside it, small numbers of children hidden there too."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from ledger.derive.suppress import FEWER_WORDS, WITHHELD_WORDS
from ledger.papers.press.finish import Attachment
from ledger.papers.sheets.season_context import ScopeCounts, SeasonPaper

NUMBERS = "season-summary.json"


def attached_numbers(paper: SeasonPaper) -> Attachment:
    """The paper's numbers as a file. Numbers of children are numbers, or the words instead."""
    scopes = [paper.league]
    for whole, single in paper.parts:
        scopes += [whole, *single]
    content = {
        "league": paper.head.league,
        "season": paper.head.season,
        "ledger": {"event": paper.head.head_id, "hash": paper.head.head_hash},
        "as_of": paper.head.as_of,
        "known_at": paper.head.known_at,
        "children": f"1 to 4 are {FEWER_WORDS!r}; {WITHHELD_WORDS!r} is any number.",
        "weeks": list(paper.weeks),
        "scopes": [_scope(scope) for scope in scopes],
    }
    text = json.dumps(content, ensure_ascii=False, indent=1) + "\n"
    return Attachment(
        name=NUMBERS,
        content=text.encode(),
        media_type="application/json",
        description="The numbers of this summary; small numbers of children are hidden",
    )


def _scope(scope: ScopeCounts) -> dict[str, Any]:
    return {
        "kind": scope.kind,
        "id": scope.id,
        "name": scope.name,
        "steps": asdict(scope.steps),
        "cases": {
            "cases": scope.cases.cases,
            "outcomes": dict(scope.cases.outcomes),
            "overdue": scope.cases.overdue,
            "minutes_to_answer": list(scope.cases.minutes),
        },
        "findings_by_rule": {rule.rule: int(rule.count) for rule in scope.step_rules},
        "findings_by_week": list(scope.weeks),
        "findings_of_no_week": scope.no_week,
        "children": {
            "plays_due": _number(scope.due),
            "plays_short": _number(scope.short),
            "late": _number(scope.late),
            "by_rule": {rule.rule: _number(rule.count) for rule in scope.child_rules},
        },
    }


def _number(text: str) -> int | str:
    return int(text) if text.isdecimal() else text
