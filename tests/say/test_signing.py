"""The words about signatures."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

from ledger.derive.signatures import Changed, SignedList
from ledger.say.signing import is_settled, state, worst_of


def test_the_state_that_most_needs_a_look_is_told() -> None:
    ordered = [SignedList({}, "other"), SignedList({}, "changed")]
    ordered += [SignedList({}, "late_arrivals"), SignedList({}, "stands")]
    for worse, better in pairwise(ordered):
        assert worst_of([better, worse, better]) == worse.state
    assert worst_of(ordered[-1:]) == "stands"


def test_a_short_state_names_the_first_players_and_counts_the_others() -> None:
    changed = [_changed(number) for number in (5, 6, 7)]
    late = [_changed(number, late=True) for number in (31, 32)]
    signed = SignedList({}, "changed", tuple(changed + late))
    late_said = "; arrived late: No. 31 and No. 32"
    assert state(signed) == "Changed after signing: No. 5, No. 6 and No. 7" + late_said
    assert state(signed, 2) == "Changed after signing: No. 5, No. 6 and 1 more" + late_said


def test_what_reviewers_ruled_since_is_told_apart() -> None:
    ruled = [_changed(number, "ruling") for number in (8, 18)]
    late = [_changed(31, late=True)]
    signed = SignedList({}, "changed", tuple(ruled + late))
    assert state(signed) == "Ruled on after signing: No. 8 and No. 18; arrived late: No. 31"
    assert is_settled(signed)
    both = SignedList({}, "changed", (_changed(5, "list"), *ruled))
    assert state(both) == "Changed after signing: No. 5; ruled on: No. 8 and No. 18"
    assert not is_settled(both)
    # A ruling and a line: not the ruling alone.
    assert state(SignedList({}, "changed", (_changed(5, "ruling", "list"),))) == (
        "Changed after signing: No. 5"
    )


def test_late_work_beside_a_ruling_is_ruled_on_and_other_work_is_not() -> None:
    work = _changed(49, "late_weigh", "strike_off", "ruling")
    late = replace(work, is_late_but_rulings=True)
    assert state(SignedList({}, "changed", (late,))) == "Ruled on after signing: No. 49"
    assert is_settled(SignedList({}, "changed", (late,)))
    assert state(SignedList({}, "changed", (work,))) == "Changed after signing: No. 49"


def test_late_arrivals_alone_are_named() -> None:
    signed = SignedList({}, "late_arrivals", (_changed(31, late=True),))
    assert state(signed) == "Signed; late arrivals since: No. 31"


def _changed(number: int, *kinds: str, late: bool = False) -> Changed:
    statements: Any = tuple(SimpleNamespace(kind=kind) for kind in kinds)
    return Changed(f"k{number}", number, None, None, statements, is_late_arrival=late)
