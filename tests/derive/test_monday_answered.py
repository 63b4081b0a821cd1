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
        "Answered: case short, ruled on Sep 8 (neither upheld nor denied).",
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
        "Answered: case short, ruled on Sep 14 (neither upheld nor denied); it was due Sep 12.",
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
        "Answered: case twins, ruled on Sep 8.",
    ]
    assert answered[3].startswith("By the ruling of Sep 8: Number 1 of Team ash was allowed to")


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
    answer = "Answered: case scale, ruled on Sep 6 (neither upheld nor denied)."
    assert answer in below("Already answered", one)
    two = told(bare + "05/14:31 concern g1 coach_near_scale so\n" + game, now=LATER)
    assert below("Already answered", two) == [
        "g1, elm at ash",
        "A weigh-in question.",
        answer,
    ]


def test_a_case_that_was_closed_without_a_ruling() -> None:
    lines = told(CLEAN + OPEN + "06/17:00 case_close case=short by=dp\n", now=LATER)
    assert below("Already answered", lines) == [
        "g1, elm at ash",
        "ash 2: A question of plays.",
        "Answered: case short, closed without a ruling on Sep 6.",
    ]


def settled(lines: list[str]) -> str:
    return "\n".join(below("Already answered", lines))


def open_still(lines: list[str]) -> str:
    return "\n".join(below("What to settle", lines))


def without(text: str, *parts: str) -> str:
    """The lines in which none of these parts is."""
    return "\n".join(line for line in text.splitlines() if not any(one in line for one in parts))


BARRED = (
    "05/14:45 case_open g1 ash a2 weigh case=early by=we\n"
    "05/14:50 ruling g1 ash a2 decided may_play=none case=early by=so\n"
)
SEE_EARLY = "See case early, ruled on Sep 5{}. Check if that settles this."
BARE = " (neither upheld nor denied)"


def test_a_ruling_does_not_answer_its_own_breach() -> None:
    lines = told(CLEAN + BARRED, now=LATER)
    breach = "ash 2 (a2): 12 plays are entered; the player was not to play that day."
    assert f"{breach} (played_not_eligible)\n{SEE_EARLY.format('')}" in open_still(lines)
    assert settled(lines) == ""


def test_a_ruling_at_the_half_does_not_answer_the_plays_after_it() -> None:
    half = "05/15:45 case_open g1 ash a2 plays case=early by=we\n"
    half += "05/15:50 ruling decided case=early by=so\n"
    assert f"{DUE}\n{SEE_EARLY.format(BARE)}" in open_still(told(SHORT + half, now=LATER))
    uncounted = without(SHORT, "plays g1 ash a2")
    assert SEE_EARLY.format(BARE) in open_still(told(uncounted + "\n" + half, now=LATER))


def test_an_answer_before_the_weigh_in_is_none_to_what_came_after_it() -> None:
    """The book, the list and the stripe; what points at nothing waits for the last half."""
    wrong = without(OVER, "initial g1 ash a1")
    wrong += "\n05/14:37 list g1 ash a1 over by=we\n05/14:38 stripe g1 ash a1 we\n"
    for player in ("a1", "a2"):
        wrong += f"05/14:10 case_open g1 ash {player} weigh case=early-{player} by=we\n"
        wrong += f"05/14:20 ruling denied case=early-{player} by=so\n"
    lines = told(wrong, now=LATER)
    for rule in (
        *("book_mark_differs", "book_not_initialed", "listed_over_weighed_ok"),
        *("carrier_striped", "noncarrier_not_listed", "noncarrier_not_striped"),
    ):
        assert f"({rule})" in open_still(lines)
        assert f"({rule})" not in settled(lines)
    assert "See case early-a1, denied on Sep 5." in open_still(lines)


@pytest.mark.parametrize(
    ("halves", "clock", "is_settled"),
    [
        ("both", "16:29", False),
        ("both", "16:31", True),
        ("none", "14:59", False),
        ("none", "15:01", True),
    ],
)
def test_what_is_missing_is_settled_after_the_last_half_or_kickoff(
    halves: str, clock: str, is_settled: bool
) -> None:
    text = without(CLEAN, "countersign g1 ash we", *([" half g1"] if halves == "none" else []))
    text += "\n05/14:45 case_open g1 ash weigh case=unsigned by=wa\n"
    lines = told(text + f"05/{clock} ruling denied case=unsigned by=so\n", now=LATER)
    assert ("(list_not_countersigned)" in settled(lines)) is is_settled
    assert ("(list_not_countersigned)" in open_still(lines)) is not is_settled


def test_a_protest_answers_the_only_finding_about_its_child() -> None:
    """With two, nothing tells which was meant; the page names the case there, and only there."""
    asked = (
        "05/17:00 case_open g1 ash a2 protest case=p by=we\n06/17:00 ruling denied case=p by=dp\n"
    )
    lines = told(SHORT + asked, now=LATER)
    assert settled(lines) == f"g1, elm at ash\n{DUE}\nAnswered: case p, denied on Sep 6."
    over = SHORT.replace("weigh g1 ash a2 ok", "weigh g1 ash a2 over")
    lines = told(over + asked, now=LATER)
    for rule in ("plays_short", "book_mark_differs", "noncarrier_not_listed"):
        assert f"({rule})\nSee case p, denied on Sep 6." in open_still(lines)
    assert "noncarrier_not_striped" in open_still(lines)
    assert settled(lines) == ""


@pytest.mark.parametrize("other", ["countersign g1 ash wa", "initial g1 ash a1"])
def test_a_teams_case_answers_only_where_nothing_else_is_open_for_that_team(other: str) -> None:
    """The list lacks one signature; then it lacks both, or a child's mark is missing too."""
    asked = "\n05/17:00 case_open g1 ash weigh case=t by=wa\n06/17:00 ruling denied case=t by=so\n"
    one = without(CLEAN, "countersign g1 ash we")
    assert "(list_not_countersigned)" in settled(told(one + asked, now=LATER))
    lines = told(without(one, other) + asked, now=LATER)
    assert "(list_not_countersigned)" in open_still(lines)
    assert "case t, denied on Sep 6." in open_still(lines) + settled(lines)


def test_a_teams_case_answers_only_a_rule_about_the_team() -> None:
    early = CLEAN.replace("05/14:32 weigh g1 elm e1", "05/14:20 weigh g1 elm e1")
    early = early.replace("05/14:30 station", "05/14:19 station")
    asked = "05/17:00 case_open g1 elm weigh case=t by=wa\n06/17:00 ruling denied case=t by=so\n"
    lines = told(early + asked, now=LATER)
    assert "(weighed_too_early)\nSee case t, denied on Sep 6." in open_still(lines)


@pytest.mark.parametrize(
    ("right", "is_settled"), [("may_carry=yes", False), ("may_play=full", True)]
)
def test_a_child_nobody_weighed_needs_a_ruling_on_playing(right: str, is_settled: bool) -> None:
    unseen = without(CLEAN, "weigh g1 ash a2", "initial g1 ash a2", "plays g1 ash a2")
    unseen += "\n05/17:00 case_open g1 ash roster case=t by=wa\n"
    unseen += f"06/17:00 ruling g1 ash a2 decided {right} case=t by=dp\n"
    lines = told(unseen, now=LATER)
    assert ("(unaccounted)" in settled(lines)) is is_settled
    assert ("(unaccounted)" in open_still(lines)) is not is_settled


def test_a_reviewers_ruling_does_not_answer_a_later_one_without_authority() -> None:
    early = "05/17:00 case_open g1 ash a2 weigh case=t by=we\n05/17:10 ruling denied case=t by=so\n"
    lines = told(CLEAN + early + "05/17:20 ruling g1 upheld case=t by=ap\n", now=LATER)
    assert "(ruling_without_authority)\nSee case t, denied on Sep 5." in open_still(lines)


def test_a_reviewers_ruling_after_one_without_authority_is_told_apart_from_it() -> None:
    bad = (
        "05/17:00 case_open g1 ash a2 weigh case=t by=we\n05/17:10 ruling g1 upheld case=t by=ap\n"
    )
    lines = told(CLEAN + bad + "06/17:20 ruling denied case=t by=so\n", now=LATER)
    assert "A reviewer ruled later. Case t: denied on Sep 6." in settled(lines)


def test_a_case_without_a_finding_says_what_was_ruled() -> None:
    asked = "05/17:00 case_open g1 ash a2 weigh case=t by=we\n"
    ruled = "06/17:00 ruling g1 ash a2 upheld may_carry=no case=t by=so\n"
    lines = told(CLEAN + asked + ruled, now=LATER)
    answer = "Answered: case t, upheld on Sep 6: ash 2 in g1 does not carry."
    assert f"ash 2: A weigh-in question.\n{answer}" in settled(lines)
