"""What a rule says about itself."""

from __future__ import annotations

import pytest

from ledger.derive.findings import rules
from ledger.derive.rule_header import rule_header
from ledger.errors import InputError


@pytest.mark.parametrize("rule", rules())
def test_every_rule_says_what_why_from_where_and_who_should_look(rule: str) -> None:
    header = rule_header(rule)
    assert header.rule == rule
    assert header.what
    assert header.procedure
    assert header.source
    assert header.look
    assert "(common practice" not in header.procedure
    assert "(source" not in header.procedure
    assert not header.procedure.endswith((" ", ";", "."))


def test_a_published_source_is_named() -> None:
    assert "NIST Handbook 44" in rule_header("check_weight_off").source
    assert rule_header("late_after_half").source == "common practice, no source"
    assert rule_header("plays_short").look == ("head_official", "division_president")


@pytest.mark.parametrize(
    ("rule", "hint"), [("late_after_halve", "late_after_half"), ("zzz", "book_initialed_again")]
)
def test_no_such_rule(rule: str, hint: str) -> None:
    with pytest.raises(InputError) as caught:
        rule_header(rule)
    assert caught.value.message == f"no rule {rule}"
    assert hint in caught.value.hint
