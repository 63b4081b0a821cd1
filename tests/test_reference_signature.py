"""What comes behind a signature: covered, or written down after it, or found."""

from __future__ import annotations

import pytest

from tests.reference.reading import about
from tests.short_season import short_season, when

RULE = "stated_behind_signature"
SIGNED = "14:50 countersign ash we how=key recorded=14:50"


@pytest.mark.parametrize(
    ("line", "is_found"),
    [
        ("14:35 weigh ash a1 ok", True),
        ("15:10 late_weigh ash a1 ok entered=14:50", True),  # at the signature's moment
        ("14:50:00.001 late_weigh ash a1 ok", False),  # written down after it
        ("14:35 initial ash a1 ok", True),
        ("14:35 list ash a1 absent", True),
        ("14:35 strike_off ash a1", True),
        ("14:35 stripe ash a1", True),
        ("14:35 close ash", False),  # not what is signed
        ("14:35 plays ash a1 half=1 count=2", False),
        ("14:35 weigh elm e1 ok", False),  # the other team's list
        ("12/14:35 weigh g2 ash a1 ok entered=14:35", False),  # another game
        ("14:35 weigh ash a1 ok entered=07/10:00", False),
    ],
)
def test_what_is_found_behind_a_signature(line: str, is_found: bool) -> None:
    events = short_season(f"{SIGNED}\n{line} recorded=18:00")
    assert about(events, RULE) == ([("g1", "ash", ["office:2"])] if is_found else [])
    covered = short_season(f"{line} recorded=14:00\n{SIGNED}")
    assert about(covered, RULE) == []


@pytest.mark.parametrize(
    ("how", "is_found"),
    [
        ("how=key", True),
        ("how=ink scan=ab", True),
        ("how=device", True),
        ("", False),  # on the sheet
    ],
)
def test_signatures_on_the_sheet_never_raise_it(how: str, is_found: bool) -> None:
    events = short_season(f"""
        14:50 countersign ash ca {how} recorded=14:50
        14:35 weigh ash a1 ok recorded=18:00
    """)
    assert about(events, RULE) == ([("g1", "ash", ["office:2"])] if is_found else [])


@pytest.mark.parametrize(
    ("others", "found"),
    [
        ("", ["tent:1", "tent:2"]),  # the signature names no tent
        ("others=tent:1", ["tent:2"]),
        ("others=tent:2", []),
        ("others=door:2", ["tent:1", "tent:2"]),
    ],
)
def test_of_other_chains_a_signature_covers_what_it_names(others: str, found: list[str]) -> None:
    """No clock matters: tent's says that both were recorded before."""
    events = short_season(f"""
        14:35 weigh ash a1 ok recorded=14:35 chain=tent
        14:36 weigh ash a2 ok recorded=14:36 chain=tent
        14:50 countersign ash we how=key recorded=14:50 {others}
    """)
    assert about(events, RULE) == [("g1", "ash", [one]) for one in found]


def test_a_withdrawal_and_its_withdrawal_are_found_and_what_is_withdrawn_is_not() -> None:
    """Line 4 withdraws a signature, line 5 a thing that is not signed: neither is found."""
    events = short_season("""
        14:35 weigh ash a1 ok recorded=14:35
        14:36 close ash recorded=14:36
        14:50 countersign ash we how=key recorded=14:50
        14:45 withdraw target=3 recorded=18:00
        14:45 withdraw target=2 recorded=18:00
        14:45 withdraw target=1 recorded=18:00
        14:46 withdraw target=6 recorded=18:01
        14:47 weigh ash a2 ok recorded=18:02
        14:48 withdraw target=8 recorded=18:03
        14:49 withdraw target=7 recorded=18:04
    """)
    assert about(events, RULE, as_of=when("14:49:59.999")) == []  # not signed yet
    # the withdrawal 10 of the withdrawal 7 brings 6 back; 8 is withdrawn by 9
    assert about(events, RULE) == [("g1", "ash", [f"office:{n}"]) for n in (6, 9, 10)]


def test_a_withdrawn_signature_still_shows_what_came_behind_it() -> None:
    events = short_season(f"""
        {SIGNED}
        14:35 weigh ash a1 ok recorded=18:00
        19:00 withdraw target=1 recorded=19:00
    """)
    assert about(events, RULE) == [("g1", "ash", ["office:2"])]
    assert ("g1", "ash", "elm") in about(events, "list_not_countersigned")


def test_some_signature_is_enough_and_the_finding_is_one() -> None:
    """Signed again later: what the second covers is still behind the first."""
    events = short_season("""
        14:50 countersign ash we how=key recorded=14:50
        14:52 countersign ash wa how=key recorded=14:52
        14:35 weigh ash a1 ok recorded=14:55
        14:58 late_weigh ash a2 ok recorded=14:59
        15:00 countersign ash we how=key recorded=15:00
        14:58 late_weigh ash a2 ok recorded=15:02
    """)
    assert about(events, RULE) == [("g1", "ash", ["office:3"]), ("g1", "ash", ["office:6"])]


def test_it_goes_by_recorded_of_the_signature_and_by_what_was_entered_by_then() -> None:
    """The signature claims 13:00, and was recorded at 14:50."""
    events = short_season("""
        13:00 countersign ash we how=key recorded=14:50
        14:50 weigh ash a1 ok recorded=18:00
    """)
    assert about(events, RULE) == [("g1", "ash", ["office:2"])]
    assert about(events, RULE, as_of=when("14:49")) == []
    assert about(events, RULE, known_at=when("17:59")) == []
    later = [*events[:-1], events[-1] | {"entered": when("14:50:00.001")}]
    assert about(later, RULE) == []
