"""Findings: the trickiest sentences of sql/README.md, each with a tiny season and findings.

Source of the check of the scale: NIST Handbook 44 (2023), 2.20 Table 6, maintenance tolerance of
class III, as quoted. Everything else is the league's own rules, common practice, no source.
"""

from __future__ import annotations

import pytest

from tests.reference.reading import about
from tests.reference.rules_scale import tolerance_clb
from tests.reference_rules import RULE_NAMES, eligibility, findings
from tests.short_season import short_season, when


@pytest.mark.parametrize(
    ("check_clb", "division_clb", "tolerance"),
    [
        (1000, 50, 50),  # n = 20: 1 d
        (25000, 50, 50),  # 500: 1 d
        (25050, 50, 100),  # 501: 2 d
        (10000, 5, 10),  # 2,000: 2 d
        (15000, 5, 15),  # 3,000: 3 d, worked example of Handbook 44: 150 lb at 0.05 lb, 0.15 lb
        (20000, 5, 15),  # 4,000: 3 d
        (50000, 5, 25),  # 10,000: 5 d, worked example: 500 lb at 0.05 lb, 0.25 lb
        (1001, 2, 4),  # 500.5 is over 500: 2 d
    ],
)
def test_the_tolerance_of_the_check(check_clb: int, division_clb: int, tolerance: int) -> None:
    assert tolerance_clb(check_clb, division_clb) == tolerance


def test_a_station_within_the_tolerance_proves_the_scale_from_its_moment_on() -> None:
    text = "{at} station reading_clb={reading} limit_clb=10000\n14:35 weigh ash a1 ok"
    proved = short_season(text.format(at="14:35", reading=1050))
    assert about(proved, "scale_not_proved") == [] == about(proved, "check_weight_off")
    off = short_season(text.format(at="14:35", reading=1051))
    assert about(off, "scale_not_proved") == [("g1",)]
    assert about(off, "check_weight_off") == [("g1", ["office:1"])]
    later = short_season(text.format(at="14:35:00.001", reading=1000))
    assert about(later, "scale_not_proved") == [("g1",)]


def test_the_allowance_goes_by_the_local_date_of_the_kickoff() -> None:
    """05:00 UTC is midnight in Chicago in September."""
    allowance = [{"from": "2026-09-06", "clb": 200}, {"from": "2026-09-01", "clb": 50}]
    for kickoff, wrong in (("06T04:59:59.999", []), ("06T05:00:00.000", [("g1", ["office:2"])])):
        text = f"""
            10:00 game_change so kickoff=2026-09-{kickoff}Z
            14:35 station reading_clb=1000 limit_clb=10050
        """
        assert about(short_season(text, limit_allowance=allowance), "limit_wrong") == wrong


def test_a_listing_after_the_signature_is_excepted_only_for_a_late_weigh_over() -> None:
    """Signed at 14:56 by elm's weighmaster; the coach's signature at 14:00 is none. Line 4 was
    made before and entered later; line 6's W is a late weigh over; line 7's reason is another.
    """
    events = short_season("""
        14:00 countersign ash ca
        14:30 list ash a1 absent
        14:56 countersign ash we
        14:40 list ash a2 injured entered=14:57
        15:10 late_weigh ash a1 over
        15:10 list ash a1 over
        15:11 list ash a1 other
        14:50 list elm e1 over entered=15:30
    """)
    assert about(events, "list_changed_after_sign") == [
        ("g1", "ash", "a1", ["office:7"]),
        ("g1", "ash", "a2", ["office:4"]),
    ]
    assert about(events, "list_not_countersigned") == [
        ("g1", "ash", "ash"),
        ("g1", "elm", "ash"),
        ("g1", "elm", "elm"),
    ]


@pytest.mark.parametrize(
    ("line", "first_to_weigh", "is_out_of_turn"),
    [
        ("14:40 weigh elm e2 ok", "visitors", True),
        ("14:35 weigh elm e2 ok", "visitors", False),  # at the same moment is not before
        ("14:40 weigh elm e2 ok", "either", False),
        ("14:40 weigh elm e2 ok", "home", False),
        ("14:40 late_weigh elm e2 ok", "visitors", False),
        ("14:40 weigh elm e1 no_scale", "visitors", False),  # e1 was listed absent by then
    ],
)
def test_who_weighs_out_of_turn(line: str, first_to_weigh: str, is_out_of_turn: bool) -> None:
    """Elm, the visitors, weigh first; then ash at 14:35; then one more of elm."""
    events = short_season(
        f"""
        14:40 list elm e1 absent
        14:39 strike_off elm e1
        14:31 weigh elm e2 ok
        14:35 weigh ash a1 ok
        {line}
        """,
        first_to_weigh=first_to_weigh,
    )
    expected = is_out_of_turn or first_to_weigh == "home"  # ash's weigh came after elm's first
    assert about(events, "weighed_out_of_turn") == ([("g1",)] if expected else [])


def test_listed_after_the_weigh_does_not_excuse_the_turn() -> None:
    events = short_season("""
        14:35 weigh ash a1 ok
        14:40 weigh elm e1 ok
        14:40:00.001 list elm e1 absent
    """)
    assert about(events, "weighed_out_of_turn") == [("g1",)]


def test_the_record_itself() -> None:
    """Cases by `entered`; a withdrawal by another; a late entry; after the close."""
    events = short_season("""
        16:30 half half=2 so
        07/16:30:00.001 case_open g1 protest case=c1 by=ca
        07/10:00 case_open other case=c2 by=ca
        14/10:00 case_close case=c2 dp
        14:00 close ash we entered=14:30:00.001
        14/16:30:00.001 withdraw target=5 wa
        14/16:30:00.001 season_close by=rg
        14/16:30:00.002 stripe ash a1
    """)
    assert about(events, "protest_late") == [("g1", "c1")]
    assert about(events, "case_overdue") == [("g1", "c1")]
    assert about(events, "case_overdue", as_of=when("14/16:30:00.001")) == []
    assert about(events, "withdrawn_by_other") == [("g1", ["office:6"])]
    assert about(events, "entered_late") == []  # the late line is withdrawn
    assert about(events, "entered_late", as_of=when("13/10:00")) == [("g1", ["office:5"])]
    assert about(events, "stated_after_close") == [("g1", ["office:8"])]


def test_findings_are_ordered_and_name_only_known_rules() -> None:
    assert len(RULE_NAMES) == 49
    events = short_season("""
        12/14:35 weigh g2 ash a1 ok
        14:35 weigh elm e1 ok
        16:00 season_close by=rg entered=20/10:00
    """)
    rows = findings(events)
    games = [row["game"] for row in rows]
    assert games == sorted(games, key=lambda game: game or "~")
    assert rows[-1] == {
        "rule": "entered_late",
        "game": None,
        "team": None,
        "player": None,
        "official": None,
        "side": None,
        "case": None,
        "at": when("16:00"),
        "events": ["office:3"],
    }
    assert {row["rule"] for row in rows} <= set(RULE_NAMES)


@pytest.mark.parametrize(
    ("days", "line", "is_found"),
    [
        (7, "", True),
        (0, "", False),
        (None, "", False),  # an older ledger's row: the default
        (7, "15:00 trained value=we by=rg", False),  # at the kickoff
        (7, "15:00:00.001 trained value=we by=rg", True),
        (8, "01/10:00 trained value=we by=rg entered=20/10:00", False),
        (4, "01/15:00 trained value=we by=rg", False),  # four days of 24 hours
        (4, "01/14:59:59.999 trained value=we by=rg", True),
        (7, "04/10:00 trained value=we by=we", True),  # by themselves
        (7, "04/10:00 trained value=wa by=rg", True),  # about somebody else
    ],
)
def test_whose_training_is_valid(days: int | None, line: str, is_found: bool) -> None:
    rules = {} if days is None else {"training_valid_days": days}
    events = short_season(f"14:35 weigh ash a1 ok\n{line}", **rules)
    assert about(events, "weighmaster_not_trained") == ([("g1", "we")] if is_found else [])


def test_training_concerns_all_who_weighed_initialed_or_stood_at_the_scale() -> None:
    events = short_season(
        """
        14:30 at_scale ash wa
        14:36 initial ash a1 ok wa2
        14:40 list ash a2 absent ca
        14:41 assign elm value=pc by=so
        12/15:10 late_weigh g2 ash a1 ok we
        """,
        training_valid_days=30,
    )
    expected = [("g1", "wa"), ("g1", "wa2"), ("g2", "we")]
    assert about(events, "weighmaster_not_trained") == expected


def test_a_number_twice_is_one_of_the_roster_at_kickoff() -> None:
    """a1 has 1, a2 has 2; e1 of elm has 1 too. Without a number nobody has the same."""
    twice = [("g1", "ash", "a1"), ("g1", "ash", "a2"), ("g2", "ash", "a1"), ("g2", "ash", "a2")]
    changed = short_season("10:00 number_change ash a2 number=1 rg")
    assert about(changed, "number_twice") == twice
    after = short_season("15:00:00.001 number_change ash a2 number=1 rg")
    assert about(after, "number_twice") == twice[2:]
    joined = short_season("10:00 roster_add ash u1 number=2 rg\n10:01 roster_drop ash a2 rg")
    assert about(joined, "number_twice") == []
    without = short_season("10:00 roster_add ash u1 rg\n10:00 roster_add ash e1 rg")
    assert about(without, "number_twice") == []


def test_an_add_without_a_number_keeps_the_last_for_this_team() -> None:
    events = short_season("""
        10:00 number_change ash a1 number=30 rg
        10:01 roster_drop ash a1 rg
        10:02 roster_add elm a1 rg
        10:03 roster_add ash a1 rg
    """)
    rows = {(row["team"], row["player"]): row["number"] for row in eligibility(events, "g1")}
    assert rows["ash", "a1"] == 30
    assert rows["elm", "a1"] is None


def test_on_two_rosters_is_found_for_each_team_of_the_game() -> None:
    both = [("g1", "ash", "a1"), ("g1", "elm", "a1")]
    events = short_season("15:00 roster_add elm a1 number=9 rg\n06/10:00 roster_drop ash a1 rg")
    assert about(events, "on_two_rosters") == both
    later = short_season("15:00:00.001 roster_add elm a1 rg\n06/10:00 roster_drop ash a1 rg")
    assert about(later, "on_two_rosters") == []
    stated = short_season("14:35 weigh elm a1 ok")  # weighed for another team: on no roster of it
    assert about(stated, "on_two_rosters") == []


def test_training_is_never_entered_late() -> None:
    late = "10:00 {} entered=20/10:00"
    assert about(short_season(late.format("trained value=we by=rg")), "entered_late") == []
    assigned = short_season(late.format("assign ash value=we by=rg"))
    assert about(assigned, "entered_late") == [("g1", ["office:1"])]
