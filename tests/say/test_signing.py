"""The words about signatures."""

from __future__ import annotations

from itertools import pairwise

from ledger.derive.signatures import SignedList
from ledger.say.signing import worst_of


def test_the_state_that_most_needs_a_look_is_told() -> None:
    ordered = [SignedList({}, "other"), SignedList({}, "changed")]
    ordered += [SignedList({}, "late_arrivals"), SignedList({}, "stands")]
    for worse, better in pairwise(ordered):
        assert worst_of([better, worse, better]) == worse.state
    assert worst_of(ordered[-1:]) == "stands"
