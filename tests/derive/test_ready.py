"""What is to settle before a weigh-in: each check fires beside one that just does not."""

from __future__ import annotations

from typing import Any

import pytest

from ledger.derive.days import GameDay, day_of, game_days
from ledger.derive.engine import Engine
from ledger.derive.ready import checks, unready
from ledger.errors import InputError
from ledger.say.ready import ORDER, command
from tests.short_season import short_season
from tests.stored import stored_events

EMPTY = ("game", "team", "player", "number", "official", "was_at", "was_site")
ASSIGNED = """\
01/12:00 assign g1 ash value=wa by=rg
01/12:00 assign g1 elm value=we by=rg
01/12:00 assign g2 ash value=wa by=rg
01/12:00 assign g2 elm value=we by=rg
"""
BOOK = """\
05/14:40 initial ash a1 ok initials=WE
05/14:40 initial ash a2 ok initials=WE
05/14:40 initial elm e1 ok initials=WA wa
05/14:40 initial elm e2 ok initials=WA wa
"""


def engine_of(text: str, **rules: Any) -> Engine:
    return Engine(stored_events(short_season(text, **rules)))


def seen(rule: str, text: str, *, game: str = "g2", **rules: Any) -> list[str]:
    """What the check sees in the game: what it is about, and the words."""
    rows = unready(engine_of(text, **rules), game=game).dicts()
    return [
        " ".join([*(str(row[key]) for key in EMPTY[1:] if row[key] is not None), row["detail"]])
        for row in rows
        if row["rule"] == rule
    ]


def test_a_game_for_which_all_is_settled() -> None:
    assert unready(engine_of(ASSIGNED + BOOK), game="g2").rows == []


def test_every_check_has_its_place_on_the_screen() -> None:
    assert set(ORDER) == {*checks(), "key_missing"}


def test_a_weighmaster_for_each_side() -> None:
    nobody = "No weighmaster is assigned."
    assert seen("weighmaster_missing", "") == [f"ash {nobody}", f"elm {nobody}"]
    assert seen("weighmaster_missing", ASSIGNED) == []
    trained = ASSIGNED + "01/12:00 trained value=wa by=rg\n"
    # One point for one fault: the side has somebody, who has to be trained.
    assert seen("weighmaster_missing", trained, training_valid_days=20) == []
    (we,) = seen("assigned_not_trained", trained, training_valid_days=20)
    assert we.startswith("elm we Assigned, without training")
    assert seen("assigned_not_trained", trained) == []  # the league asks for none


def test_someone_assigned_who_is_a_coach_or_no_weighmaster() -> None:
    season = ASSIGNED + "01/12:00 assign g2 ash value=ca by=rg\n"
    assert seen("assigned_coach", season) == ["ash ca Assigned, and coaches one of the two teams."]
    assert seen("assigned_not_own", season)[0].startswith("ash ca Assigned, but not a weighmaster")
    made = season + "01/12:00 appoint value=ca to=weighmaster ash by=rg\n"
    assert seen("assigned_not_own", made) == []
    assert len(seen("assigned_coach", made)) == 1
    assert seen("assigned_coach", season, game="g1") == []


def test_numbers_and_rosters_are_those_at_kickoff() -> None:
    season = """
    01/12:00 roster_add ash u1 by=rg
    01/12:00 roster_add elm a1 number=7 by=rg
    12/15:00 number_change ash a2 number=1 by=rg
    """
    assert seen("number_missing", season) == ["ash u1 On the roster without a number."]
    assert [line[:8] for line in seen("number_twice", season)] == ["ash a1 1", "ash a2 1"]
    assert seen("number_twice", season, game="g1") == []
    later = season.replace("12/15:00", "12/15:01")
    assert seen("number_twice", later) == []
    both = [f"{team} Also on the roster of {other} at kickoff."
            for team, other in (("ash a1 1", "elm"), ("elm a1 7", "ash"))]  # fmt: skip
    assert seen("on_two_rosters", season) == both
    empty = "01/12:00 roster_drop elm e1 by=rg\n01/12:00 roster_drop elm e2 by=rg\n"
    assert seen("roster_empty", empty) == ["elm Nobody is on the roster."]
    assert seen("roster_empty", empty.splitlines()[0]) == []


def test_marks_to_fall_back_on_are_those_of_earlier_games() -> None:
    nobody = "Nobody on the roster has a mark in the book yet."
    assert seen("mark_missing", "") == [f"ash {nobody}", f"elm {nobody}"]
    assert seen("mark_missing", "", game="g1") == []  # nobody can have one before the first game
    assert seen("mark_missing", BOOK) == []
    one = BOOK.replace("05/14:40 initial ash a2 ok initials=WE\n", "")
    assert seen("mark_missing", one) == ["ash No mark in the book yet: 2."]


def test_a_game_that_was_moved() -> None:
    season = """
    01/12:00 game_change g2 kickoff=2026-09-12T17:00:00.000Z reason=x by=rg
    """
    was = "2026-09-12T15:00:00.000Z"
    assert seen("game_moved", season) == [f"{was} The kickoff has changed."]
    both = season + "01/12:00 game_change g2 site=Green reason=x by=rg\n"
    assert seen("game_moved", both) == [f"{was} Kickoff and site have changed."]
    back = season + f"02/12:00 game_change g2 kickoff={was} reason=x by=rg\n"
    assert seen("game_moved", back) == []
    site = back + "01/12:00 game_change g2 site=Green reason=x by=rg\n"
    assert seen("game_moved", site) == [f"{was} The site has changed."]
    assert seen("game_moved", both + "02/12:00 game_off g2 reason=x by=rg\n") == []


def test_the_check_weight_at_the_same_site_last_time() -> None:
    green = """
    01/12:00 game_change g1 site=Green reason=x by=rg
    01/12:00 game_change g2 site=Green reason=x by=rg
    """
    weighed = green + "05/14:40 weigh ash a1 ok\n"
    (line,) = seen("check_weight_unread", weighed)
    assert line == "At this site, no check of the scale passed last time (g1)."
    assert seen("check_weight_unread", green) == []  # nobody was weighed there
    assert seen("check_weight_unread", weighed.replace("g1 site=Green", "g1 site=Fen")) == []
    station = "05/14:35 station g1 reading_clb={} limit_clb=10000\n"
    assert seen("check_weight_unread", weighed + station.format(1050)) == []
    assert len(seen("check_weight_unread", weighed + station.format(1051))) == 1


def test_plays_owed_from_earlier_games() -> None:
    season = """
    05/14:40 weigh g1 ash a1 ok
    05/14:40 weigh g1 ash a2 ok
    05/16:30 plays g1 ash a1 half=2 count=7 by=pc
    05/16:30 plays g1 ash a2 half=2 count=10 by=pc
    """
    assert seen("plays_owed", season) == ["ash a1 1 Short of plays before: 3 in g1."]
    assert seen("plays_owed", season, game="g1") == []
    assert seen("plays_owed", season + "05/16:31 excuse g1 ash a1 injured\n") == []
    assert seen("plays_owed", season + "06/16:31 roster_drop ash a1 by=rg\n") == []


def test_the_command_names_what_it_is_about() -> None:
    item = {"game": "g2", "team": "elm", "official": "we"}
    assign = "record assign --game g2 --team elm --value OFFICIAL --by WHO"
    assert command("weighmaster_missing", item) == assign
    assert command("key_missing", item) == "enroll we --by WHO"
    assert command("plays_owed", item) is None


def test_days_with_games_are_numbered_by_local_date() -> None:
    """22:00 on 5 September in Chicago is 03:00 UTC on the sixth; a moved game counts there."""
    engine = engine_of("01/12:00 game_change g2 kickoff=2026-09-06T03:00:00.000Z reason=x by=rg")
    assert game_days(engine) == [GameDay(1, "2026-09-05", ("g1", "g2"))]
    engine = engine_of("01/12:00 game_off g1 reason=x by=rg")
    first, second = game_days(engine)
    assert (first.games, second) == (("g1",), GameDay(2, "2026-09-12", ("g2",)))
    assert day_of(engine, today="2026-09-05") == first
    assert day_of(engine, today="2026-09-06") == second
    assert day_of(engine, week=1, today="2026-10-01") == first
    assert day_of(engine, date="2026-09-12", today="2026-10-01") == second
    for asked, told in (
        ({"week": 3}, "there is no week 3"),
        ({"date": "2026-09-06"}, "no game is on 2026-09-06"),
        ({}, "no game is on 2026-09-13 or later"),
    ):
        with pytest.raises(InputError) as refused:
            day_of(engine, today="2026-09-13", **asked)  # type: ignore[arg-type]
        assert refused.value.message.startswith(told)
        hint = "Week 1 is 2026-09-05; the last, week 2, is 2026-09-12."
        assert refused.value.hint == hint
