"""Whose page a finding is on: opponents weigh, list and stripe each other's children."""

from __future__ import annotations

import re

from ledger.derive.acting import Acting
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.monday import monday
from ledger.say.monday import Page, page, page_lines
from tests.derive.test_monday import AFTER, CLEAN, SHORT
from tests.random_seasons import Event
from tests.short_season import short_season
from tests.stored import store_of, stored_events

STRIPED = CLEAN + "05/14:38 stripe g1 ash a1 we\n"
PLACES = {"ash": "grove", "elm": "brook"}


def of_two(text: str) -> list[Event]:
    """Ash is of grove, elm of brook."""
    season = short_season(text)
    for event in season:
        if event["kind"] == "team":
            event["data"]["association"] = PLACES[event["team"]]
    return season


def page_of(text: str, association: str | None) -> Page:
    store = store_of(of_two(text))
    try:
        return page(monday(store, now=AFTER, association=association))
    finally:
        store.close()


def told(shown: Page) -> list[tuple[str, str]]:
    """Who looks, and at which rule."""
    return [(g.role, item.rule) for g in shown.settle for b in g.blocks for item in b.items]


def test_who_weighed_the_child_has_the_item_and_so_has_the_childs_side() -> None:
    for association in ("grove", "brook", None):
        assert told(page_of(STRIPED, association)) == [("weighmasters of elm", "carrier_striped")]


def test_what_concerns_only_the_other_association_is_told_under_the_table() -> None:
    """Plays are for officials of no team."""
    shown = page_of(SHORT, "brook")
    assert told(shown) == []
    assert shown.well[0][2] == "everything except plays"
    assert shown.notes == (
        "Plays in g1: only about another association’s teams. See the league’s page.",
    )
    assert page_of(SHORT, "grove").notes == page_of(SHORT, None).notes == ()


def acting(text: str, rule: str) -> list[tuple[str, ...]]:
    engine = Engine(stored_events(short_season(text)))
    teams = [Acting(engine).teams(row) for row in find(engine, rule=rule).dicts()]
    engine.close()
    return teams


def test_both_sides_where_nothing_was_entered_about_the_child() -> None:
    without = CLEAN.replace("05/14:35 weigh g1 ash a2 ok we\n", "")
    assert acting(without, "unaccounted") == [("ash", "elm")]


def test_a_missing_signature_is_for_its_side() -> None:
    missing = CLEAN.replace("05/14:40 countersign g1 ash we\n", "")
    assert acting(missing, "list_not_countersigned") == [("elm",)]


def test_a_coach_lists_and_the_weighmaster_settles() -> None:
    listed = CLEAN + "05/14:37 list g1 ash a1 over by=ca\n"
    assert acting(listed, "listed_over_weighed_ok") == [("elm",)]


def test_other_roles_are_of_no_team() -> None:
    assert acting(SHORT, "plays_short") == [()]


def test_an_associations_president_has_the_findings_about_one_of_its_teams() -> None:
    dropped = CLEAN + "01/12:00 roster_drop ash a2 by=rg\n"
    assert ("association president of ash", "not_on_roster") in told(page_of(dropped, None))


def test_an_untrained_official_is_for_the_president_of_the_officials_team() -> None:
    engine = Engine(stored_events(short_season(CLEAN, training_valid_days=400)))
    rows = find(engine, rule="weighmaster_not_trained").dicts()
    whose = {row["official"]: Acting(engine).teams(row) for row in rows}
    engine.close()
    assert whose == {"wa": ("ash",), "we": ("elm",)}


def test_an_undecided_carrier_says_that_the_scale_did_not_go_well_either() -> None:
    out = CLEAN.replace("weigh g1 ash a2 ok we", "weigh g1 ash a2 no_scale we")
    out = out.replace("05/14:36 initial g1 ash a2 ok initials=IL we\n", "")
    out += "05/14:35 scale_out g1 broken so\n"
    shown = page_of(out, None)
    assert shown.well[0][2] == "everything except the scale and the book"


def test_a_scale_that_was_never_checked_and_raises_no_finding_is_told() -> None:
    """Everyone came to a scale that was known to be out, with a mark from the game before."""
    station = "station g1 reading_clb=1000 limit_clb=10000 by=we"
    out = re.sub(r"(?m)( weigh .*) ok ", r"\1 no_scale ", CLEAN).replace(
        station, "scale_out g1 broken so"
    )
    lines = [line for line in out.splitlines() if line and " initial " not in line]
    second = "\n".join(lines).replace("05/", "12/").replace(" g1", " g2")
    store = store_of(short_season(CLEAN + second))
    shown = page(monday(store, week=2, now="2026-09-20T12:00:00.000Z"))
    store.close()
    assert told(shown) == []
    assert shown.well[0][2] == "everything except the scale"
    assert shown.notes == ("The scale in g2: no check of it passed.",)


def test_a_late_childs_finding_says_who_and_what_to_enter() -> None:
    late = CLEAN.replace("05/14:35 weigh g1 ash a2", "05/15:10 late_weigh g1 ash a2")
    late = late.replace("05/15:40 half g1 half=1 by=so\n", "")
    (group,) = page_of(late, None).settle
    (item,) = group.blocks[0].items
    assert (item.about, item.said) == (
        "ash 2 (a2): ",
        "Weighed late. Enter when the first half ended.",
    )


def texts(shown: Page) -> str:
    return "\n".join(line.text for line in page_lines(shown, ""))


def test_a_case_about_a_team_is_on_its_associations_page_only() -> None:
    """Open and answered; a case about no team is on the page of either side."""
    asked = "05/17:00 case_open g1 ash a1 weigh case=ruled by=we\n"
    asked += "05/17:00 case_open g1 ash a2 weigh case=waits by=we\n"
    asked += "05/17:00 case_open g1 safety case=field by=we\n"
    asked += "05/17:30 ruling decided case=ruled by=so\n"
    for association, names in (("grove", True), ("brook", False), (None, True)):
        shown = page_of(CLEAN + asked, association)
        assert ("case ruled" in texts(shown)) is names
        assert [case for case, _, _ in shown.cases] == ["field"] + ["waits"] * names


LATE = "05/15:10 late_weigh g1 {} ok {}\n"


def late_children(text: str, association: str | None) -> str:
    shown = page_of(text, association)
    rule = "half_not_stated"
    items = [item for g in shown.settle for b in g.blocks for item in b.items]
    (about,) = [item.about for item in items if item.rule == rule]
    return about


def test_late_children_are_on_the_page_of_their_side_and_of_who_weighed_them() -> None:
    """Ash weighs its own a2 and elm's e2; elm weighs nobody late."""
    late = "\n".join(line for line in CLEAN.splitlines() if "half=1" not in line)
    late += "\n" + LATE.format("ash a2", "wa") + LATE.format("elm e2", "wa")
    assert late_children(late, None) == "ash 2 (a2) and elm 2 (e2): "
    assert late_children(late, "grove") == "ash 2 (a2) and elm 2 (e2): "
    assert late_children(late, "brook") == "elm 2 (e2): "


def test_an_entry_of_the_game_stands_without_the_other_associations_child() -> None:
    late = CLEAN + "05/16:25 plays g1 ash a2 half=1 count=3 entered=05/17:20 pc\n"
    said = "11:25 AM CDT: Plays in the first half so far: 3."
    assert f"ash 2 (a2), {said}" in texts(page_of(late, "grove"))
    assert said in texts(page_of(late, "brook"))
    assert "ash 2 (a2)" not in texts(page_of(late, "brook"))
    assert "ash 2 (a2)" in texts(page_of(late.replace("05/17:20 pc", "05/17:20 we"), "brook"))
