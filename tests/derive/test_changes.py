"""What changed between two moments, and which statements did it."""

from __future__ import annotations

from random import Random

import pytest

from ledger.derive.changes import Change, Clock, find_changes
from ledger.say.changes import changes_content, changes_lines
from ledger.say.clock import exact_time
from tests.random_seasons.chain import seal, unseal
from tests.short_season import short_season, when
from tests.stored import stored_events

ZONE = "America/Chicago"


def changes(
    text: str, since: str, until: str | None = None, clock: Clock = "entered", game: str = "g1"
) -> list[Change]:
    stored = stored_events(short_season(text))
    return find_changes(
        stored, game, since=when(since), until=when(until) if until else None, clock=clock
    )


def kinds(change: Change) -> list[tuple[str, str]]:
    return [(told.event, told.kind) for told in change.statements]


def test_a_weigh() -> None:
    (change,) = changes("14:40 weigh ash a1 ok\n14:41 weigh ash a2 ok", "14:40")
    assert change.before == {
        "number": 2,
        "may_play": "none",
        "may_carry": "no",
        "basis": "none",
        "listed": [],
    }
    assert change.after == change.before | {
        "may_play": "full",
        "may_carry": "yes",
        "basis": "scale",
    }
    assert kinds(change) == [("office:2", "weigh")]


def test_the_first_moment_is_outside_and_the_second_inside() -> None:
    text = "14:40 weigh ash a1 ok"
    assert changes(text, "14:40") == []
    assert len(changes(text, "14:39", "14:40")) == 1
    assert changes(text, "14:38", "14:39:59.999") == []


def test_a_withdrawal_and_what_stands_instead() -> None:
    (change,) = changes(
        "14:40 weigh ash a1 over\n14:42 withdraw target=1\n14:43 weigh ash a1 ok", "14:41"
    )
    assert kinds(change) == [("office:2", "withdraw"), ("office:3", "weigh")]


def test_a_withdrawn_withdrawal() -> None:
    (change,) = changes(
        "14:40 list ash a1 absent\n14:41 withdraw target=1\n14:43 withdraw target=2", "14:42"
    )
    assert change.after
    assert change.after["listed"] == ["absent"]
    assert kinds(change) == [("office:3", "withdraw")]


def test_a_ruling_and_the_case_that_gives_it_authority() -> None:
    text = (
        "14:40 weigh ash a1 over\n14:50 case_open case=c1 weigh game=g1\n"
        "14:55 ruling so case=c1 decided game=g1 ash a1 may_carry=yes"
    )
    (change,) = changes(text, "14:45")
    assert kinds(change) == [("office:2", "case_open"), ("office:3", "ruling")]


def test_the_appointment_that_gives_a_ruling_its_authority_and_no_other() -> None:
    text = (
        "14:40 weigh ash a1 over\n14:50 case_open case=c1 weigh game=g1\n"
        "14:52 appoint by=dp value=pc to=site_official\n"
        "14:53 appoint by=dp value=wa2 to=site_official\n"
        "14:55 ruling by=pc case=c1 decided game=g1 ash a1 may_carry=yes"
    )
    (change,) = changes(text, "14:45")
    assert [event for event, kind in kinds(change) if kind == "appoint"] == ["office:3"]


def test_the_end_of_the_half_stated_afterwards() -> None:
    text = "15:50 late_weigh ash a1 ok\n15:45 half half=1 entered=16:00\n15:51 stripe ash a1"
    (change,) = changes(text, "15:55")
    assert change.after
    assert change.after["may_play"] == "none"
    assert kinds(change) == [("office:2", "half")]


def test_a_mark_of_an_earlier_game() -> None:
    text = (
        "05/14:41 initial g1 ash a1 ok entered=12/14:50\n12/14:40 weigh g2 ash a1 no_scale\n"
        "05/14:41 initial g1 ash a2 ok entered=12/14:50"
    )
    (change,) = changes(text, "12/14:45", game="g2")
    assert kinds(change) == [("office:1", "initial")]


def test_rosters_numbers_and_games() -> None:
    (change,) = changes("14:00 number_change ash a1 number=7", "13:00")
    assert (change.before or {})["number"] == 1
    assert kinds(change) == [("office:1", "number_change")]
    (change,) = changes("14:00 roster_drop ash a1", "13:00")
    assert change.after is None
    off = changes("14:00 weigh ash a1 ok\n14:10 game_off so", "14:05")
    assert [kinds(change)[-1] for change in off] == [("office:2", "game_off")] * 4
    assert changes("16:00 roster_drop ash a1", "13:00") == []


def test_an_off_roster_player_with_plays() -> None:
    (change,) = changes("15:10 plays ash u1 half=1 count=3 pc", "15:00")
    assert change.before is None
    assert kinds(change) == [("office:1", "plays")]
    assert changes("15:10 plays ash a1 half=1 count=3 pc", "15:00") == []


def test_a_correction_after_the_second_moment_explains_nothing() -> None:
    events = short_season("")
    row = next(event for event in events if event.get("player") == "a1")
    about = {key: row[key] for key in ("chain", "kind", "team", "player")}
    corrects = f"{row['chain']}:{row['seq']}"
    drafts = [
        about
        | {"by": "rg", "entered": when(clock), "data": {"number": number, "corrects": corrects}}
        for clock, number in (("13:00", 7), ("14:00", 8))
    ]
    stored = stored_events(seal([*unseal(events), *drafts], Random(0)))
    for until, numbers in ((when("13:30"), [7]), (None, [7, 8])):
        (change,) = find_changes(stored, "g1", since=when("12:00"), until=until)
        assert [one.data["number"] for one in change.corrections] == numbers


def test_by_the_ledgers_clock() -> None:
    text = "14:40 weigh ash a1 ok"
    assert changes(text, "14:00", "15:00", "recorded") == []


@pytest.mark.parametrize("text", ["14:40 weigh ash a1 ok", "14:00 roster_drop ash a1"])
def test_words(text: str) -> None:
    found = changes(text, "13:00")
    span = {"from": when("13:00"), "to": None, "clock": "entered"}
    content = changes_content(found, "g1", span, ZONE, str)
    lines = [line.text for line in changes_lines(content, ZONE)]
    assert lines[0] == (
        "g1, written down after Sat, Sep 5, 2026, 8:00 AM CDT up to the end: the answer changed"
        " for 1 player."
    )
    assert lines[2] == "ash 1 (a1)"
    assert lines[3] in (
        "Was: does not play. Now: plays the whole game.",
        "Removed; it was: does not play; does not carry the ball; not weighed; not listed",
    )
    nothing = changes_content([], "g1", span, ZONE, str)
    assert changes_lines(nothing, ZONE)[0].text.endswith("no answer changed.")


def test_seconds_show_where_there_are_any() -> None:
    assert exact_time(when("13:10"), ZONE) == "Sat, Sep 5, 2026, 8:10 AM CDT"
    assert exact_time(when("13:10:05"), ZONE) == "Sat, Sep 5, 2026, 8:10:05 AM CDT"
    assert exact_time(when("13:10:05.250"), ZONE) == "Sat, Sep 5, 2026, 8:10:05.250 AM CDT"
