"""Who a line is about: `player`, or `number`, or `name` with `number` (FORMAT.md, section 5)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from tests.tiny import day, events_in, load, loaded, refused, says, statements, tiny_store

Folder = Callable[..., Path]
Line = Mapping[str, str]
KICKOFF = "2026-09-05T10:00"  # of g1; the game g2 is a week later
EARLIER, LATER = "2026-09-05T09:59:59.999", "2026-09-05T10:00:00.001"
NOT_ON = "which is not on the roster of ash at the kickoff of g1"
OR_NAME = "a number on the roster; for a player not on it, the name and the number"


def weigh(**who: object) -> Line:
    return says("weigh", **({"game": "g1", "team": "ash", "value": "ok"} | who))


def add(player: str, at: str = "2026-09-01T12:00", **more: object) -> Line:
    return says("roster_add", **({"at": at, "team": "ash", "player": player, "by": "rg"} | more))


def drop(player: str, at: str = "2026-09-01T13:00", **more: object) -> Line:
    return says("roster_drop", **({"at": at, "team": "ash", "player": player, "by": "rg"} | more))


def who(folder: Path) -> list[str | None]:
    """The players of the folder's weighs."""
    return [event.player for event in loaded(folder) if event.kind == "weigh"]


def fault(folder: Path) -> str:
    (one,) = refused(folder)
    return one


def test_a_number_is_looked_up_on_that_teams_roster(folder: Folder) -> None:
    lines = day(weigh(number=1), weigh(team="elm", number=1), weigh(number=2))
    assert who(folder(day=lines)) == ["a1", "e1", "a2"]


def test_a_number_that_is_not_found_is_refused(folder: Folder) -> None:
    told = fault(folder(day=day(weigh(number=7))))
    assert told == f"days/01.csv, line 2, number: found 7, {NOT_ON}; expected {OR_NAME}"


def test_a_number_that_is_found_twice_is_refused(folder: Folder) -> None:
    told = fault(folder(day=day(add("u1", number=1), weigh(number=1))))
    assert "found 1 twice on the roster of ash at the kickoff of g1 (a1, u1)" in told
    assert told.endswith("expected one of these ids as the player")
    assert who(folder(day=day(add("u1", number=1), weigh(player="u1", number=1)))) == ["u1"]


@pytest.mark.parametrize("at", [EARLIER, KICKOFF])
def test_roster_statements_at_or_before_kickoff_count_wherever_they_stand(
    folder: Folder, at: str
) -> None:
    assert who(folder(day=day(weigh(number=5), add("u1", at, number=5)))) == ["u1"]
    later_file = {"01.csv": day(weigh(number=5)), "02.csv": day(add("u1", at, number=5))}
    assert who(folder(days=later_file)) == ["u1"]


def test_a_roster_statement_after_kickoff_does_not_count(folder: Folder) -> None:
    assert NOT_ON in fault(folder(day=day(add("u1", LATER, number=5), weigh(number=5))))
    assert who(folder(day=day(drop("a1", LATER), weigh(number=1)))) == ["a1"]


def test_when_it_was_entered_does_not_matter_to_the_roster(folder: Folder) -> None:
    late = add("u1", EARLIER, number=5, entered="2026-10-01T12:00")
    assert who(folder(day=day(weigh(number=5), late))) == ["u1"]


def test_a_dropped_player_has_no_number_there(folder: Folder) -> None:
    assert NOT_ON in fault(folder(day=day(drop("a1"), weigh(number=1))))


def test_the_latest_of_add_and_drop_counts(folder: Folder) -> None:
    """By `at`, and at the same time by ledger order."""
    lines = [drop("a1"), add("a1", "2026-09-01T14:00"), weigh(number=1)]
    assert who(folder(day=day(*lines))) == ["a1"]
    assert who(folder(day=day(*reversed(lines)))) == ["a1"]
    same = "2026-09-01T13:00"
    assert who(folder(day=day(drop("a1", same), add("a1", same), weigh(number=1)))) == ["a1"]
    assert NOT_ON in fault(folder(day=day(add("a1", same), drop("a1", same), weigh(number=1))))


def test_an_add_without_a_number_keeps_the_players_last_for_this_team(folder: Folder) -> None:
    """Else null: a number of another team is none here; a number in a drop is not one given."""
    again = [drop("a1", number=9), add("a1", "2026-09-01T14:00")]
    assert who(folder(day=day(*again, weigh(number=1)))) == ["a1"]
    assert "found 9" in fault(folder(day=day(*again, weigh(number=9))))
    assert "found 2" in fault(folder(day=day(drop("a2"), add("e2"), weigh(number=2))))
    assert who(folder(day=day(add("e2"), weigh(player="e2")))) == ["e2"]


def test_a_changed_number(folder: Folder) -> None:
    change = says("number_change", team="ash", player="a1", number=40, by="rg")
    assert who(folder(day=day(change, weigh(number=40)))) == ["a1"]
    assert NOT_ON in fault(folder(day=day(change, weigh(number=1))))
    late = dict(change) | {"at": LATER}
    assert who(folder(day=day(late, weigh(number=1)))) == ["a1"]


def test_a_withdrawn_roster_statement_does_not_count(folder: Folder) -> None:
    lines = [
        add("u1", number=5, ref="slip"),
        says("withdraw", target="slip", reason="another child", ref="sorry"),
        weigh(number=5),
        says("withdraw", target="sorry", reason="it was right"),
    ]
    assert NOT_ON in fault(folder(day=day(*lines[:3])))
    assert who(folder(day=day(*lines))) == ["u1"]  # a withdrawn withdrawal restores it


def moved(kickoff: str | None, **more: object) -> Line:
    return says("game_change", game="g1", kickoff=kickoff, reason="rain", by="so", **more)


def test_the_kickoff_is_as_game_changes_have_it(folder: Folder) -> None:
    late_add = add("u1", "2026-09-05T11:00", number=5)
    assert NOT_ON in fault(folder(day=day(late_add, weigh(number=5))))
    lines = [weigh(number=5), late_add, moved("2026-09-05T12:00", ref="rain")]
    assert who(folder(day=day(*lines))) == ["u1"]
    gone = says("withdraw", target="rain", reason="the sun came out")
    assert NOT_ON in fault(folder(day=day(*lines, gone)))
    # The latest entered counts, each field by itself: a change of the site alone moves no kickoff.
    site = moved(None, site="Meadow", entered="2026-09-06T12:00")
    assert who(folder(day=day(*lines, site))) == ["u1"]
    back = moved("2026-09-05T10:00", entered="2026-09-06T12:00")
    assert NOT_ON in fault(folder(day=day(back, *lines)))
    earlier = moved("2026-09-05T10:00", entered="2026-09-05T08:39")
    assert who(folder(day=day(*lines, earlier))) == ["u1"]
    same = moved("2026-09-05T10:00")  # entered at the same moment: ledger order
    assert NOT_ON in fault(folder(day=day(*lines, same)))


def test_a_number_is_looked_up_once(folder: Folder, tmp_path: Path) -> None:
    """A roster statement of a later load changes no line that was accepted before."""
    ledger = tmp_path / "season.weighbook"
    first = {"01.csv": day(weigh(number=1))}
    assert load(ledger, folder(days=first)).lines_added == 1
    swap = day(drop("a1"), add("u1", number=1), weigh(number=1))
    assert load(ledger, folder(days=first | {"02.csv": swap})).lines_added == 3
    assert load(ledger, folder(days=first | {"02.csv": swap})).lines_added == 0
    assert [e.player for e in events_in(ledger) if e.kind == "weigh"] == ["a1", "u1"]


def test_a_player_with_a_number_that_is_not_theirs_there_is_refused(folder: Folder) -> None:
    assert who(folder(day=day(weigh(player="a1", number=1)))) == ["a1"]
    told = fault(folder(day=day(weigh(player="a1", number=2))))
    assert "number: found 2, but a1 has 1 on ash at the kickoff of g1; expected that number" in told
    told = fault(folder(day=day(weigh(player="u1", number=2))))
    assert "found 2, but u1 has no number on ash" in told
    assert "e1 has no number on ash" in fault(folder(day=day(weigh(player="e1", number=1))))


@pytest.mark.parametrize("player", ["e1", "u1"])
def test_a_player_of_another_team_or_of_none_may_be_stated_by_id(
    folder: Folder, player: str
) -> None:
    assert who(folder(day=day(weigh(player=player)))) == [player]


def test_a_name_with_a_number_is_somebody_who_is_not_on_the_roster(folder: Folder) -> None:
    """Even where the number is somebody's."""
    with tiny_store(folder(day=day(weigh(name="Bo Yarrow", number=1)))) as store:
        (event,) = statements(store)
    assert event.player == "unlisted-g1-ash-1"
    assert event.data["number"] == 1
    assert "Bo Yarrow" not in str(event)


def test_an_unlisted_child_is_named_again_or_by_that_id(folder: Folder) -> None:
    lines = [
        weigh(name="Bo Yarrow", number=7),
        weigh(name="B. Yarrow", number=7),
        weigh(player="unlisted-g1-ash-7"),
        weigh(player="unlisted-g1-ash-7", number=7),
        weigh(player="unlisted-g1-ash-7", game="g2"),
    ]
    assert who(folder(day=day(*lines))) == ["unlisted-g1-ash-7"] * 5
    told = fault(folder(day=day(lines[0], weigh(player="unlisted-g1-ash-7", number=8))))
    assert "found 8, but unlisted-g1-ash-7 has no number on ash" in told
    told = fault(folder(day=day(lines[0], weigh(player="unlisted-g1-ash-7", number=7, game="g2"))))
    assert "at the kickoff of g2" in told
    told = fault(folder(day=day(lines[2], lines[0])))
    assert "line 2, player: found 'unlisted-g1-ash-7'" in told


def test_an_unlisted_child_who_joins_a_roster_has_the_number_given_there(folder: Folder) -> None:
    joins = add("unlisted-g1-ash-7", "2026-09-08T12:00", number=44)
    next_week = weigh(game="g2", number=44)
    assert who(folder(day=day(weigh(name="Bo Yarrow", number=7), joins, next_week))) == (
        ["unlisted-g1-ash-7"] * 2
    )


@pytest.mark.parametrize("number", [None, 7])
def test_a_player_and_a_name_together_are_refused(folder: Folder, number: int | None) -> None:
    told = fault(folder(day=day(weigh(player="a1", name="Pip Quillfeather", number=number))))
    assert told.endswith("name: found 'Pip Quillfeather'; expected player or name, not both")


def test_a_name_alone_is_refused(folder: Folder) -> None:
    told = fault(folder(day=day(weigh(name="Pip Quillfeather"))))
    assert told.endswith(
        "player: found nothing; expected a player id, a number, or a number with a name"
    )


def test_roster_statements_name_the_player_by_id_only(folder: Folder) -> None:
    told = fault(folder(day=day(add("", number=1))))
    assert told.endswith("player: found nothing; expected a value")
    told = fault(folder(day=day(add("u1", number=5, name="Wren Saltmarsh"))))
    assert "roster_add lines do not use this column. They use at, entered, team, " in told
    # A number in them is the number given: it is not looked up, nor refused for being another's.
    assert len(loaded(folder(day=day(add("u1", number=1), drop("a1", number=77))))) == 2


def enter(**more: object) -> Line:
    return says("enter_player", **({"player": "b9", "name": "Bo Yarrow", "by": "rg"} | more))


def test_an_entered_player_with_team_and_number_is_on_the_roster(folder: Folder) -> None:
    assert who(folder(day=day(enter(team="ash", number=9), weigh(number=9)))) == ["b9"]
    late = enter(team="ash", number=9, at=LATER)
    assert NOT_ON in fault(folder(day=day(late, weigh(number=9))))
    assert who(folder(day=day(late, weigh(player="b9")))) == ["b9"]


def test_an_entered_player_without_a_team_is_known(folder: Folder) -> None:
    assert who(folder(day=day(enter(), weigh(player="b9")))) == ["b9"]
    assert "found 7" in fault(folder(day=day(enter(), weigh(number=7))))


@pytest.mark.parametrize("one", [{"team": "ash"}, {"number": 9}])
def test_an_entered_player_has_team_and_number_both_or_neither(
    folder: Folder, one: dict[str, object]
) -> None:
    assert "expected both team and number, or neither" in fault(folder(day=day(enter(**one))))


def test_a_player_is_entered_before_lines_about_the_child(folder: Folder) -> None:
    told = fault(folder(day=day(weigh(player="b9"), enter())))
    assert "line 2, player: found 'b9'" in told
    assert "a player in players.csv or an earlier enter_player" in told


def test_a_player_is_entered_once(folder: Folder) -> None:
    told = fault(folder(day=day(enter(), enter())))
    assert "line 3, player: found 'b9', which is already taken; expected a new id" in told
    assert "which is already taken" in fault(folder(day=day(enter(player="a1"))))


def test_an_entered_id_holds_no_word_of_the_name(folder: Folder) -> None:
    told = fault(folder(day=day(enter(player="YARROW-7"))))
    assert "player: found 'YARROW-7'; expected an id without any part of the child's name" in told
