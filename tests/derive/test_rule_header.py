"""What a rule's header says."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

import pytest

from ledger.derive.findings import rules
from ledger.derive.queries import queries
from ledger.derive.rule_header import rule_header
from ledger.errors import InputError, ReportError
from ledger.record.statements import KINDS, CaseOpen

REASONS = get_args(CaseOpen.model_fields["reason"].annotation)
LOOK = {"weighmasters", "site_official", "head_official", "association_president",
        "division_president", "registrar"}  # fmt: skip


@pytest.mark.parametrize("rule", rules())
def test_every_rule_says_what_why_from_where_and_who_should_look(rule: str) -> None:
    header = rule_header(rule)
    assert header.rule == rule
    assert header.what
    assert header.procedure
    assert header.source
    assert header.look
    assert re.fullmatch(r"[A-Z][^.]{10,85}\.", header.sentence)
    assert "(common practice" not in header.procedure
    assert "(source" not in header.procedure
    assert not header.procedure.endswith((" ", ";", "."))
    assert set(header.look) <= LOOK
    assert header.reason in REASONS
    assert header.events == ("any",) or set(header.events) <= {"player", *KINDS}
    assert (header.todo is None and header.right is None) or header.about == "child"
    # A wrong scale concerns everybody weighed on it, whatever else was stated that morning.
    assert (header.about == "scale") is (header.events == ("station",))


def test_a_published_source_is_named() -> None:
    assert "NIST Handbook 44" in rule_header("check_weight_off").source
    assert rule_header("late_after_half").source == "common practice"
    assert rule_header("plays_short").look == ("head_official", "division_president")


@pytest.mark.parametrize(
    ("rule", "hint"), [("late_after_halve", "late_after_half"), ("zzz", "book_initialed_again")]
)
def test_no_such_rule(rule: str, hint: str) -> None:
    with pytest.raises(InputError) as caught:
        rule_header(rule)
    assert caught.value.message == f"no rule {rule}"
    assert hint in caught.value.hint


@pytest.mark.parametrize(
    ("now", "then", "message"),
    [
        ("-- about: child\n", "", "the header lacks about"),
        ("-- about: child\n", "-- about: horse\n", "about is one of child, team"),
        ("-- area: list\n", "-- area: lists\n", "area is one of plays, scale"),
        ("-- area: list\n", "-- area: list\n-- also: scales\n", "also is one of plays, scale"),
        (
            "-- sentence: A child came, and their line on the list was not struck off.\n",
            "",
            "the header lacks sentence",
        ),
        ("-- right: may_play", "-- right: play", "right is one of may_play, may_carry"),
        ("-- due: kickoff", "-- due: noon", "due is one of kickoff, end"),
        ("-- todo: ", "-- to_do: ", "not a header line: -- to_do: "),
        ("-- todo: ", "-- later: ", "unknown in the header: later"),
        ("-- todo: ", "-- look: ", "the header has look twice"),
        ("-- reason: weigh", "-- reason:", "not a header line: -- reason:"),
    ],
)
def test_a_header_that_is_not_whole_is_refused(
    sql_copy: Path, now: str, then: str, message: str
) -> None:
    path = sql_copy / "findings/not_struck_off.sql"
    text = path.read_text(encoding="utf-8")
    assert now in text
    path.write_text(text.replace(now, then), encoding="utf-8")
    with pytest.raises(ReportError, match=message):
        rule_header("not_struck_off")


def test_only_a_rule_has_a_step_to_do(sql_copy: Path) -> None:
    path = sql_copy / "facts/roster.sql"
    path.write_text("-- todo: nothing\n" + path.read_text(encoding="utf-8"), encoding="utf-8")
    with pytest.raises(ReportError, match=r"roster\.sql: unknown in the header: todo"):
        queries()
