"""On Monday, what reviewers have answered stands apart, as of the moment that is asked about."""

from __future__ import annotations

import pytest

from ledger.derive.monday import monday
from ledger.say.monday import page, page_lines
from tests.derive.test_monday import AFTER, CLEAN, SHORT
from tests.short_season import short_season
from tests.stored import store_of

OPEN = "05/17:00 case_open g1 ash a2 plays case=short by=we\n"
RULED = OPEN + "08/17:00 ruling decided case=short by=dp\n"
LATER = "2026-09-20T12:00:00.000Z"
BEFORE = "2026-09-08T16:59:00.000Z"
DUE = "ash 2 (a2): 7 of 10 plays due are counted. (plays_short)"
OVER = CLEAN.replace("weigh g1 ash a2 ok", "weigh g1 ash a2 over")


def told(text: str, **asked: str) -> list[str]:
    store = store_of(short_season(text))
    try:
        return [line.text for line in page_lines(page(monday(store, week=1, **asked)), "")]
    finally:
        store.close()


def below(heading: str, lines: list[str]) -> list[str]:
    """The lines under a heading, up to the next; none if it is not there."""
    if heading not in lines:
        return []
    rest = lines[lines.index(heading) + 1 :]
    return rest[: rest.index("")] if "" in rest else rest


def test_a_finding_whose_case_was_ruled_on_is_not_to_settle() -> None:
    lines = told(SHORT + RULED, now=LATER)
    assert "Nothing to settle." in lines
    assert below("Already answered", lines) == [
        "g1, elm at ash",
        DUE,
        "Answered: case short, decided otherwise on Sep 8.",
    ]


@pytest.mark.parametrize("moment", ["as_of", "known_at"])
def test_before_the_ruling_it_is_to_settle_and_the_case_says_when_it_is_due(moment: str) -> None:
    ruled = SHORT + RULED.replace("by=dp", "recorded=08/17:00 by=dp")
    early = {"as_of": BEFORE, "known_at": BEFORE}[moment]
    lines = told(ruled, **{moment: early})
    assert "Already answered" not in lines
    assert below("What to settle", lines)[2:] == [
        DUE,
        "Asked: case short, due Sat, Sep 12, 2026.",
    ]


def test_a_ruling_without_authority_answers_nothing() -> None:
    assert "Already answered" not in told(SHORT + RULED.replace("by=dp", "by=ap"), now=AFTER)


def test_a_case_that_was_answered_late_says_when_it_was_due() -> None:
    late = OPEN.replace("plays case", "safety case").replace("ash a2 ", "")
    lines = told(CLEAN + late + "14/17:00 ruling decided case=short by=dp\n", now=LATER)
    assert below("Already answered", lines) == [
        "g1, elm at ash",
        "short: Not decided within 7 days. (case_overdue)",
        "Answered: case short, decided otherwise on Sep 14; it was due Sep 12.",
    ]


def test_an_open_case_has_its_own_due_date_and_not_the_next_kickoff() -> None:
    later = "13/17:00 concern g2 cleats so\n"
    lines = told(CLEAN + OPEN.replace("plays case", "safety case") + later, now=LATER)
    assert below("What to settle", lines) == [
        "For: division president",
        "g1, elm at ash",
        "short: Not decided within 7 days. (case_overdue)",
        "Asked: case short, due Sat, Sep 12, 2026, passed.",
    ]


def test_a_ruling_is_about_the_child_it_names_whatever_its_case_names() -> None:
    """A case about a team; one twin's line is settled, the other's is not."""
    listed = OVER.replace("g1 elm e2 ok wa", "g1 elm e2 over wa").replace(
        "ash a2 over", "ash a2 ok"
    )
    listed += "05/14:37 list g1 ash a1 over by=ca\n05/14:37 list g1 ash a2 over by=ca\n"
    case = "05/17:00 case_open g1 ash roster case=twins by=we\n"
    case += "08/17:00 ruling g1 ash a1 decided may_carry=no case=twins by=dp\n"
    lines = told(listed + case, now=LATER)
    said = "Weighed ok, but the list still says over. (listed_over_weighed_ok)"
    assert f"ash 2 (a2): {said}" in below("What to settle", lines)
    answered = below("Already answered", lines)
    assert answered[1:3] == [
        f"ash 1 (a1): {said}",
        "Answered: case twins, decided otherwise on Sep 8.",
    ]
    assert answered[3].startswith("Since the ruling of Sep 8: Number 1 of Team ash may play")


def test_a_carry_ruling_settles_no_plays() -> None:
    carry = "05/17:00 case_open g1 ash roster case=twins by=we\n"
    carry += "08/17:00 ruling g1 ash a2 decided may_carry=no case=twins by=dp\n"
    assert DUE in below("What to settle", told(SHORT + carry, now=LATER))


def test_a_case_about_a_game_answers_only_where_one_finding_fits() -> None:
    game = (
        "05/17:00 case_open g1 weigh case=scale by=we\n06/17:00 ruling decided case=scale by=so\n"
    )
    proved = "05/14:30 station g1 reading_clb=1000 limit_clb=10000 by=we\n"
    bare = CLEAN.replace(proved, "")
    one = told(bare + game, now=LATER)
    assert "Answered: case scale, decided otherwise on Sep 6." in below("Already answered", one)
    two = told(bare + "05/14:31 concern g1 coach_near_scale so\n" + game, now=LATER)
    assert below("Already answered", two) == [
        "g1, elm at ash",
        "A weigh-in question.",
        "Answered: case scale, decided otherwise on Sep 6.",
    ]


def test_a_case_that_was_closed_without_a_ruling() -> None:
    lines = told(CLEAN + OPEN + "06/17:00 case_close case=short by=dp\n", now=LATER)
    assert below("Already answered", lines) == [
        "g1, elm at ash",
        "ash 2: A question of plays.",
        "Answered: case short, closed without a ruling on Sep 6.",
    ]
