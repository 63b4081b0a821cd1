"""The words about signatures."""

from __future__ import annotations

from itertools import pairwise

from ledger.derive.signatures import Changed, SignedList
from ledger.say.signing import state, worst_of


def test_the_state_that_most_needs_a_look_is_told() -> None:
    ordered = [SignedList({}, "other"), SignedList({}, "changed")]
    ordered += [SignedList({}, "late_arrivals"), SignedList({}, "stands")]
    for worse, better in pairwise(ordered):
        assert worst_of([better, worse, better]) == worse.state
    assert worst_of(ordered[-1:]) == "stands"


def test_a_short_state_names_the_first_players_and_counts_the_others() -> None:
    changed = [_changed(number, late=False) for number in (5, 6, 7)]
    late = [_changed(number, late=True) for number in (31, 32)]
    signed = SignedList({}, "changed", tuple(changed + late))
    late_said = "; arrived late: No. 31 and No. 32"
    assert state(signed) == "Changed after signing: No. 5, No. 6 and No. 7" + late_said
    assert state(signed, 2) == "Changed after signing: No. 5, No. 6 and 1 more" + late_said


def _changed(number: int, *, late: bool) -> Changed:
    return Changed(f"k{number}", number, None, None, (), is_late_arrival=late)
