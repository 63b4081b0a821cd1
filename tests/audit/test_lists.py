"""Step 5: what was signed, compared with the audit's own reading of the covered events."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.audit.audit import audit
from ledger.audit.eligibility import ListReading, withdrawn
from ledger.audit.report import Problem
from ledger.chain.event import Event, parse_event
from ledger.derive.engine import Engine
from ledger.derive.signed_list import FORM, RULES, list_content, list_contents, list_number
from ledger.store.sqlite.store import SqliteStore
from tests.differential import season_for
from tests.signing import Begun, Morning
from tests.stored import stored_events


@pytest.mark.parametrize("seed", range(25))
def test_the_audits_reading_gives_what_sql_gives(seed: int) -> None:
    """Two independent readings of sql/README.md, sections 5 and 8, on random seasons."""
    stored = sorted(stored_events(season_for(seed)))
    engine = Engine(stored)
    events = [parse_event(one.body.encode()) for one in stored]
    contents = list_contents(engine)
    assert contents or seed in (0, 20)  # two seasons whose games are all off
    for (game, team), content in contents.items():
        reading = ListReading(events, game, team)
        assert reading.rows() == content["rows"]
        assert reading.lines() == content["lines"]
    engine.close()


def _list_two(one: Morning) -> None:
    one.state("list", player="a2", reason="absent", by="wa")
    one.state("weigh", player="a1", value="over", by="we")
    one.state("list", player="a1", reason="over", by="we")


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Begun:
    return Begun(tmp_path_factory.mktemp("listed"), _list_two)


@pytest.fixture
def signed(begun: Begun, tmp_path: Path) -> Iterator[Morning]:
    with begun.copied(tmp_path / "listed.weighbook") as one:
        yield one


def content(store: SqliteStore) -> dict[str, Any]:
    engine = Engine(store.events())
    try:
        return list_content(engine, "g1", "ash")
    finally:
        engine.close()


def forge(one: Morning, shown: dict[str, Any]) -> list[Problem]:
    """Return what the audit says about a forged signature on paper; all else is in order."""
    one.state("countersign", by="we", form=FORM, rules=RULES, how="ink", scan="ab" * 32,
              others={}, list=list_number(shown), shown=shown)  # fmt: skip
    found = audit(one.store.connection).problems
    return [problem for problem in found if problem.problem == "list differs"]


def test_what_is_there_may_be_signed(signed: Morning) -> None:
    assert forge(signed, content(signed.store)) == []
    signed.sign("we")
    assert [p.problem for p in audit(signed.store.connection).problems] == ["exhibit differs"]


STRUCK = {"event": "office:24", "at": "", "by": ""}
CHANGES = {
    "a right": lambda shown: shown["rows"][0].update(may_carry="yes"),
    "a number": lambda shown: shown["rows"][0].update(number=9),
    "a reason": lambda shown: shown["rows"][0]["listed"].clear(),
    "an event of a row": lambda shown: shown["rows"][0]["events"].pop(),
    "a row left out": lambda shown: shown["rows"].pop(),
    "rows exchanged": lambda shown: shown["rows"].reverse(),
    "a line's reason": lambda shown: shown["lines"][0].update(reason="injured"),
    "a line's time": lambda shown: shown["lines"][0].update(at="2026-09-05T14:00:00.000Z"),
    "who listed": lambda shown: shown["lines"][0].update(by="ca"),
    "struck off": lambda shown: shown["lines"][1].update(struck=STRUCK),
    "a line left out": lambda shown: shown["lines"].pop(),
    "another game": lambda shown: shown.update(game="g2"),
    "another team": lambda shown: shown.update(team="elm"),
    "no rows": lambda shown: shown.pop("rows"),
}  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_what_was_never_there_is_found(signed: Morning, change: str) -> None:
    shown = json.loads(json.dumps(content(signed.store)))
    CHANGES[change](shown)
    assert forge(signed, shown)


def test_a_number_of_another_list_is_found(signed: Morning) -> None:
    shown = content(signed.store)
    signed.state("countersign", by="we", form=FORM, rules=RULES, how="ink", scan="ab" * 32,
                 others={}, shown=shown, list="cd" * 32)  # fmt: skip
    details = [p.detail for p in audit(signed.store.connection).problems]
    assert any("another number than the list kept with it" in detail for detail in details)


def test_rows_of_other_rules_are_a_note(signed: Morning) -> None:
    shown = json.loads(json.dumps(content(signed.store)))
    shown["rows"][0]["may_carry"] = "yes"
    signed.state("countersign", by="we", form=FORM, rules="0", how="ink", scan="ab" * 32,
                 others={}, shown=shown, list=list_number(shown))  # fmt: skip
    report = audit(signed.store.connection)
    assert not [p for p in report.problems if p.problem == "list differs"]
    assert any("under other rules than these" in note for note in report.steps[4].notes)


def test_an_event_that_is_not_covered_is_named(signed: Morning) -> None:
    shown = json.loads(json.dumps(content(signed.store)))
    shown["rows"][0]["events"].append("office:99")
    problem, *_ = forge(signed, shown)
    assert "names office:99, which it does not cover" in problem.detail


def test_form_1_after_form_2_is_found(signed: Morning) -> None:
    signed.sign("we")
    signed.state("countersign", by="we", how="ink", scan="ab" * 32, list="ab" * 32)
    details = [p.detail for p in audit(signed.store.connection).problems]
    assert any("form 1, after one of form 2" in detail for detail in details)


def test_a_form_to_come_is_not_passed_over(signed: Morning) -> None:
    signed.state("countersign", by="we", how="ink", scan="ab" * 32, list="ab" * 32, form=3)
    details = [p.detail for p in audit(signed.store.connection).problems]
    assert any("a form this program does not know" in detail for detail in details)


def test_a_chain_with_a_faked_clock_is_noted_with_both_events(signed: Morning) -> None:
    signed.sign("we")
    signed.store.clock = lambda: "2026-09-05T13:00:00.000Z"
    signed.state("weigh", player="a2", value="ok", by="we", chain="tent")
    report = audit(signed.store.connection)
    assert report.problems == []
    notes = " ".join(report.steps[3].notes)
    assert "tent:1 covers office:25 and comes after it, but was recorded at" in notes
    assert "does not cover tent:1 to tent:2, so this counts as later" in notes
    assert "was recorded by 2026-09-05T13:00:00.000Z, before" in notes


def test_withdrawals_a_thousand_deep_are_walked() -> None:
    depth = 1_001
    events = [_withdrawal(seq) for seq in range(2, depth + 2)]
    assert ("office:1" in withdrawn(events)) == (depth % 2 == 1)


def _withdrawal(seq: int) -> Event:
    """Of the event before it."""
    data = {"target": f"office:{seq - 1}"}
    return Event("office", seq, b"", "", "withdraw", "", data, at="", entered="")
