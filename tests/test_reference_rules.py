"""Eligibility, the book and exposure: the trickiest sentences of sql/README.md, each pinned by a
tiny season and the rows it must give. The rules are the league's own (common practice, no source).
"""

from __future__ import annotations

import pytest

from tests.reference.reading import about, shown, verdict
from tests.reference_rules import book, eligibility, exposure, findings
from tests.short_season import short_season, when


def test_a_withdrawal_takes_away_and_its_own_withdrawal_gives_back() -> None:
    events = short_season("""
        14:35 weigh ash a1 ok
        14:40 withdraw target=1
        14:50 withdraw target=2
    """)
    assert verdict(events, "a1", as_of=when("14:39")) == "full yes scale"
    assert verdict(events, "a1", as_of=when("14:40")) == "none no none"
    assert verdict(events, "a1", as_of=when("14:50")) == "full yes scale"


def test_as_of_goes_by_entered_and_not_by_at() -> None:
    events = short_season("14:35 weigh ash a1 ok entered=07/09:00")
    assert verdict(events, "a1", as_of=when("07/08:59:59.999")) == "none no none"
    assert verdict(events, "a1", as_of=when("07/09:00")) == "full yes scale"


@pytest.mark.parametrize(
    ("attempts", "expected", "too_often"),
    [(1, "full no scale", [("g1", "ash", "a1")]), (2, "full yes scale", [])],
)
def test_the_weigh_that_counts_is_the_first_ok_among_the_attempts(
    attempts: int, expected: str, too_often: list[tuple[str, ...]]
) -> None:
    events = short_season(
        """
        14:35 weigh ash a1 over
        14:36 weigh ash a1 ok
        """,
        attempts=attempts,
    )
    assert verdict(events, "a1") == expected
    assert about(events, "weighed_too_often") == too_often


def test_no_scale_is_presented_but_is_no_scale_weigh() -> None:
    """P is the on-time no_scale and decides may_play; W is the late weigh and decides the rest."""
    events = short_season("""
        14:35 weigh      ash a1 no_scale
        15:50 late_weigh ash a1 ok
    """)
    assert verdict(events, "a1") == "full yes late_scale"


@pytest.mark.parametrize(
    ("at", "expected", "is_after"),
    [
        ("15:44", "second_half yes late_scale", False),
        ("15:45", "second_half yes late_scale", False),
        ("15:45:00.001", "none no late_scale", True),
    ],
)
def test_half_1_must_have_ended_before_a_late_weigh_to_bar_it(
    at: str, expected: str, is_after: bool
) -> None:
    events = short_season(f"""
        15:45 half half=1 so
        {at} late_weigh ash a1 ok
        15:50 half half=1 so
    """)
    assert verdict(events, "a1") == expected
    assert about(events, "late_after_half") == ([("g1", "ash", "a1")] if is_after else [])
    assert shown(events, "a1") == (["office:1", "office:2"] if is_after else ["office:2"])


def test_whole_game_does_not_lift_the_bar_of_half_1() -> None:
    text = "15:45 half half=1 so\n15:46 late_weigh ash a1 ok"
    assert verdict(short_season(text, late_players="whole_game"), "a1") == "none no late_scale"


def test_the_book_mark_is_the_first_and_of_an_earlier_kickoff_only() -> None:
    """Of g2's marks none counts for g2, even one made before g1's; without g1's: undecided."""
    text = """
        01/10:00 initial g2 elm a1 over
        14:35    initial g1 ash a1 ok
        14:40    initial g1 ash a1 over
        12/14:35 weigh   g2 ash a1 no_scale
    """
    events = short_season(text)
    assert verdict(events, "a1", "g2") == "full yes book"
    assert shown(events, "a1", "g2") == ["office:2", "office:4"]
    assert about(events, "book_initialed_again") == []
    # the book itself shows the first, for whichever team
    assert [(row["player"], row["game"], row["mark"]) for row in book(events, "ash")] == [
        ("a1", "g2", "over"),
        ("a2", None, None),
    ]
    moved = short_season(text + "13/10:00 game_change g1 kickoff=2026-09-12T15:00:00.000Z so")
    assert verdict(moved, "a1", "g2") == "full undecided book"
    assert about(moved, "carrier_undecided") == [("g2", "ash", "a1")]


def test_marks_of_a_game_that_is_off_stay_in_the_book_and_its_weighs_are_nothing() -> None:
    events = short_season("""
        14:35    weigh    g1 ash a1 ok
        14:35    initial  g1 ash a1 ok
        16:00    game_off g1 so
        12/14:35 weigh    g2 ash a1 no_scale
        12/14:35 weigh    g2 ash a2 ok
        12/14:35 initial  g2 ash a1 ok
    """)
    assert eligibility(events, "g1") == [] == exposure(events, "g1") == findings(events, "g1")
    assert verdict(events, "a1", "g2") == "full yes book"
    assert about(events, "book_initialed_again") == [("g2", "ash", "a1", ["office:6"])]
    assert about(events, "book_not_initialed") == [("g2", "ash", "a2")]


def test_each_field_is_decided_by_the_latest_entered_ruling_that_names_it() -> None:
    """Line 5 is entered last but pc is no reviewer; ap reviews rosters only; dp reviews both."""
    events = short_season("""
        14:35    weigh     ash a1 ok
        17:00    case_open g1 ash a1 roster case=c1 by=ca
        06/10:00 ruling g1 ash a1 decided case=c1 ap may_play=second_half may_carry=no
        06/09:00 ruling g1 ash a1 denied case=c1 dp may_carry=yes entered=06/11:00
        06/12:00 ruling g1 ash a1 upheld case=c1 pc may_play=none
    """)
    assert verdict(events, "a1") == "second_half yes ruling"
    assert shown(events, "a1") == ["office:1", "office:3", "office:4"]
    assert about(events, "ruling_without_authority") == [("g1", ["office:5"])]
    of_another_reason = short_season("""
        17:00    case_open g1 ash a1 weigh case=c1 by=ca
        06/10:00 ruling g1 ash a1 decided case=c1 ap may_play=full may_carry=yes
    """)
    assert verdict(of_another_reason, "a1") == "none no none"


def test_may_play_none_makes_may_carry_no_after_every_ruling() -> None:
    """Step 5 comes last: a ruling that names may_carry alone lets nobody play."""
    events = short_season("""
        17:00    case_open g1 ash a1 other case=c1 by=ca
        06/10:00 ruling g1 ash a1 upheld case=c1 dp may_carry=yes
    """)
    assert verdict(events, "a1") == "none no ruling"


def test_strike_off_without_a_reason_crosses_off_absent_and_equipment_only() -> None:
    """It works on what was listed before it by (at, line): line 6 at the same moment stands."""
    events = short_season("""
        14:00 list ash a1 absent
        14:00 list ash a1 equipment
        14:00 list ash a1 over
        14:35 weigh ash a1 over
        14:35 strike_off ash a1
        14:35 list ash a1 equipment
        14:00 list ash a2 absent
        14:36 strike_off ash a2 injured
    """)
    rows = {row["player"]: row["listed"] for row in eligibility(events, "g1")}
    assert rows == {"a1": ["equipment", "over"], "a2": ["absent"], "e1": [], "e2": []}
    assert about(events, "not_struck_off") == [("g1", "ash", "a1")]
    assert about(events, "strike_off_without_weigh") == [("g1", "ash", "a2", ["office:8"])]


def test_declared_over_plays_without_the_scale_only_where_the_league_says_so() -> None:
    text = "14:00 list ash a1 over"
    declared = short_season(text, declared_over_may_skip_scale=True)
    assert verdict(declared, "a1") == "full no declared"
    assert about(declared, "noncarrier_not_striped") == [("g1", "ash", "a1")]
    assert about(declared, "noncarrier_not_listed") == []
    assert verdict(short_season(text), "a1") == "none no none"


@pytest.mark.parametrize(
    ("ruled_at", "expected"),
    [("16:30", ("none", "not_required", None)), ("16:30:00.001", ("full", "short", 6))],
)
def test_exposure_heeds_no_ruling_made_after_half_2(
    ruled_at: str, expected: tuple[str, str, int | None]
) -> None:
    events = short_season(f"""
        14:35 weigh ash a1 ok
        16:00 case_open g1 ash a1 weigh case=c1 by=ca
        16:30 half half=2 so
        15:45 plays ash a1 half=1 count=9 pc
        15:50 plays ash a1 half=1 count=4 pc
        {ruled_at} ruling g1 ash a1 upheld case=c1 dp may_play=none
    """)
    assert verdict(events, "a1") == "none no ruling"
    row = next(row for row in exposure(events, "g1") if row["player"] == "a1")
    assert (row["may_play"], row["status"], row["short"]) == expected
    assert bool(about(events, "played_not_eligible")) == (expected[0] == "none")


def test_second_half_players_are_counted_from_half_2_on() -> None:
    """Required is the step of the two ash players who may play; a2 is excused, and short is still
    told; elm has no plays line.
    """
    events = short_season(
        """
        15:10 late_weigh ash a1 ok
        14:35 weigh ash a2 ok
        14:35 weigh elm e1 ok
        15:45 plays ash a1 half=1 count=5 pc
        16:30 plays ash a1 half=2 count=3 pc
        16:40 plays ash a1 half=3 count=1 pc
        16:40 excuse ash a2 injured
        """,
        plays={
            "by_squad_size": [
                {"up_to": 1, "minimum": 9},
                {"up_to": 2, "minimum": 4},
                {"minimum": 2},
            ]
        },
    )
    keys = ("player", "required", "recorded", "short", "status")
    assert [tuple(row[key] for key in keys) for row in exposure(events, "g1")] == [
        ("a1", 4, 4, 0, "met"),
        ("a2", 4, 0, 4, "excused"),
        ("e1", 9, None, None, "uncounted"),
        ("e2", 9, None, None, "not_required"),
    ]
    assert about(events, "played_first_half") == [("g1", "ash", "a1")]


def test_rosters_and_numbers_are_those_of_the_kickoff() -> None:
    """Dropped at kickoff is off; added after it is not yet on; u1's number is as first stated."""
    events = short_season("""
        15:00 roster_drop ash a2 by=rg
        15:00:00.001 roster_add ash u1 number=9 by=rg
        04/10:00 number_change ash a1 number=30 by=rg
        15:50 plays ash u1 half=1 count=2 number=8 pc
        15:45 plays ash u1 half=1 count=1 number=7 pc
        15:00 roster_add elm u1 by=rg
    """)
    rows = [(row["team"], row["player"], row["number"]) for row in eligibility(events, "g1")]
    assert rows == [
        ("ash", "u1", 7),
        ("ash", "a1", 30),
        ("elm", "e1", 1),
        ("elm", "e2", 2),
        ("elm", "u1", None),
    ]
    assert about(events, "not_on_roster") == [("g1", "ash", "u1")]
    assert [(row["player"], row["number"]) for row in book(events, "ash")] == [
        ("u1", 9),
        ("a1", 30),
    ]
