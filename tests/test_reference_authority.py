"""Authority to appoint and to rule, and roles for one game: each pinned by a tiny season, where it
fires beside the nearest where it does not. The rules are the league's own (common practice).
"""

from __future__ import annotations

import pytest

from tests.reference.reading import about, verdict
from tests.short_season import short_season, when

RULE = "appointed_without_authority"
CASE = "17:00 case_open {game} roster case=c1 by=ca"
RULES = "18:00 ruling g1 ash a1 upheld case=c1 by={by} may_play=full"


@pytest.mark.parametrize(
    ("line", "has_authority"),
    [
        ("appoint value=wa2 to=board_member by=rg", True),
        ("appoint value=wa2 to=registrar by=ap", True),
        ("appoint value=wa2 to=division_president by=dp", True),
        ("appoint value=wa2 to=weighmaster elm by=so", True),
        ("appoint value=wa2 to=play_counter by=so", True),
        ("appoint value=wa2 to=coach elm by=so", False),  # a site official gives two roles only
        ("appoint value=wa2 to=site_official by=so", False),
        ("appoint value=wa2 to=weighmaster elm by=ca", False),
        ("appoint value=wa2 to=weighmaster elm by=wa", False),
        ("appoint value=dp to=weighmaster elm by=dp", False),  # oneself
        ("appoint g1 value=wa2 to=coach elm by=so", False),
    ],
)
def test_who_may_give_which_role(line: str, has_authority: bool) -> None:
    found = about(short_season(f"10:00 {line}"), RULE)
    of_game = ["g1"] if " g1 " in line else []
    assert found == ([] if has_authority else [(*of_game, ["office:1"])])


def test_a_board_member_appoints_the_helpers_only() -> None:
    events = short_season("""
        10:00 appoint value=pc to=board_member by=rg
        10:01 appoint value=wa to=weighmaster elm by=pc
        10:02 appoint value=wa to=head_official by=pc
    """)
    assert about(events, RULE) == [(["office:3"],)]


def test_the_roles_of_the_tables_come_first_and_the_appoints_in_ledger_order() -> None:
    """Line 1 is before the appoint that gives its official the role: whatever `at` says, no
    authority. Line 3 is after it. Its role is given all the same: wa2 signs as elm's.
    """
    events = short_season("""
        10:00 appoint value=wa2 to=weighmaster elm by=pc
        09:00 appoint value=pc to=registrar by=dp
        08:00 appoint value=ca to=weighmaster elm by=pc
        14:35 weigh ash a1 ok
        14:50 countersign ash wa2
    """)
    assert about(events, RULE) == [(["office:1"],)]
    assert ("g1", "ash", "elm") not in about(events, "list_not_countersigned")
    slow = short_season("""
        10:00 appoint value=wa2 to=weighmaster elm by=pc recorded=12:00
        09:00 appoint value=pc to=registrar by=dp recorded=11:00 chain=tent
    """)
    assert about(slow, RULE) == []  # ledger order, not the order of arrival


def test_without_authority_nobody_appoints_further() -> None:
    events = short_season("""
        10:00 appoint value=ca to=division_president by=ca
        10:01 appoint value=pc to=registrar by=ca
        10:02 appoint value=wa2 to=weighmaster elm by=pc
    """)
    assert about(events, RULE) == [(["office:1"],), (["office:2"],), (["office:3"],)]


def test_a_withdrawn_appoint_gives_no_authority() -> None:
    events = short_season("""
        10:00 appoint value=pc to=registrar by=dp
        10:01 appoint value=wa2 to=weighmaster elm by=pc
        10:02 withdraw target=1 dp
    """)
    assert about(events, RULE, as_of=when("10:01")) == []
    assert about(events, RULE) == [(["office:2"],)]


def test_a_coach_who_appoints_himself_president_changes_no_answer() -> None:
    events = short_season(f"""
        16:59 appoint value=ca to=division_president by=ca
        {CASE.format(game="g1")}
        {RULES.format(by="ca")}
    """)
    assert verdict(events, "a1") == "none no none"
    assert about(events, "ruling_without_authority") == [("g1", ["office:3"])]
    assert about(events, RULE) == [(["office:1"],)]


@pytest.mark.parametrize("first_line", ["16:59", "19:00"])
def test_an_appoint_with_authority_lets_rule_whenever_it_was(first_line: str) -> None:
    events = short_season(f"""
        {first_line} appoint value=pc to=division_president by=rg
        {CASE.format(game="g1")}
        {RULES.format(by="pc")}
    """)
    assert verdict(events, "a1") == "full no ruling"
    assert about(events, "ruling_without_authority") == []


@pytest.mark.parametrize(
    ("of_role", "of_case", "has_authority"),
    [("g1", "g1", True), ("g2", "g1", False), ("g1", "g2", False), ("g2", "g2", True)],
)
def test_a_role_for_a_game_rules_where_the_case_names_that_game(
    of_role: str, of_case: str, has_authority: bool
) -> None:
    """The ruling itself is about g1 each time."""
    events = short_season(f"""
        16:59 appoint {of_role} value=pc to=division_president by=rg
        {CASE.format(game=of_case)}
        {RULES.format(by="pc")}
    """)
    assert verdict(events, "a1") == ("full no ruling" if has_authority else "none no none")
    assert bool(about(events, "ruling_without_authority")) != has_authority


def test_a_case_without_a_game_needs_a_role_for_every_game() -> None:
    events = short_season(f"""
        16:59 appoint g1 value=pc to=division_president by=rg
        17:00 case_open roster case=c1 by=ca
        {RULES.format(by="pc")}
    """)
    assert verdict(events, "a1") == "none no none"


def test_a_role_for_a_game_appoints_for_that_game_only() -> None:
    events = short_season("""
        10:00 appoint g1 value=pc to=registrar by=rg
        10:01 appoint g1 value=wa2 to=weighmaster elm by=pc
        10:02 appoint g2 value=wa2 to=weighmaster elm by=pc
        10:03 appoint value=wa2 to=weighmaster elm by=pc
    """)
    assert about(events, RULE) == [("g2", ["office:3"]), (["office:4"],)]


def test_a_weighmaster_for_a_game_is_one_in_no_other() -> None:
    text = """
        10:00 appoint g1 value=pc to=weighmaster ash by=rg
        14:30 at_scale g1 ash pc
        14:35 weigh g1 elm e1 ok
        12/14:30 at_scale g2 ash pc
        12/14:35 weigh g2 elm e1 ok
    """
    events = short_season(text)
    assert ("g1", "ash") not in about(events, "no_weighmaster")
    assert ("g2", "ash") in about(events, "no_weighmaster")
    as_coach = short_season(text.replace("to=weighmaster ash", "to=coach ash"))
    assert about(as_coach, "weighmaster_is_coach") == [("g1", "pc")]


def test_a_game_that_is_off_has_no_finding_of_its_appoints() -> None:
    text = "10:00 appoint g1 value=wa2 to=coach elm by=ca"
    assert about(short_season(text), RULE) == [("g1", ["office:1"])]
    assert about(short_season(text + "\n16:00 game_off g1 so"), RULE) == []
