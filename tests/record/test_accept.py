"""Ids, refs, targets, cases, officials: what a line may name (FORMAT.md, section 5)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from ledger.errors import FolderError
from tests.tiny import TEXTS, day, events_in, load, loaded, refused, says, tiny_store

Folder = Callable[..., Path]
Line = Mapping[str, str]
CLOSE = {"game": "g1", "team": "ash"}


def withdraw(target: str, **more: object) -> Line:
    return says("withdraw", target=target, reason="a mistake", **more)


def fault(folder: Path) -> str:
    (one,) = refused(folder)
    return one.removeprefix("days/01.csv, ")


@pytest.mark.parametrize(
    ("cells", "told"),
    [
        ({"game": "g9"}, "line 2, game: found 'g9'; expected a game in games"),
        ({"team": "oak"}, "line 2, team: found 'oak'; expected a team in teams"),
        ({"by": "xx"}, "line 2, by: found 'xx'; expected an official in offici"),
        ({"game": "g1", "team": "oak"}, "line 2, team: found 'oak'"),
    ],
)
def test_what_is_not_known_is_refused(folder: Folder, cells: dict[str, str], told: str) -> None:
    assert fault(folder(day=day(says("close", **(CLOSE | cells))))).startswith(told)


def test_the_nearest_known_id_is_named(folder: Folder) -> None:
    officials = "official,name,role,team\nmeadow-wm1,Ana Thistlewood,weighmaster,ash\n"
    told = fault(folder(officials=officials, day=day(says("season_close", by="meadow-wm2"))))
    assert told.endswith("or an earlier appoint. Did you mean meadow-wm1?")


def test_a_team_is_one_of_the_games_two(folder: Folder) -> None:
    teams = "team,division,name\nash,d1,Ash\nelm,d1,Elm\noak,d1,Oak\n"
    told = fault(folder(teams=teams, day=day(says("close", game="g1", team="oak"))))
    assert told == "line 2, team: found 'oak', which does not play in g1; expected ash or elm"


def test_a_ref_labels_a_line_once_in_a_chain(folder: Folder) -> None:
    told = fault(folder(day=day(says("close", **CLOSE, ref="x"), says("season_close", ref="x"))))
    assert (
        told
        == "line 3, ref: found 'x', which office:21 already has; expected a ref not used before"
    )


def test_a_target_names_an_earlier_ref_or_an_event_id(folder: Folder) -> None:
    first = says("close", **CLOSE, ref="first")
    for target in ("first", "office:21"):
        events = loaded(folder(day=day(first, withdraw(target))))
        assert events[1].data["target"] == "office:21"
        assert events[1].data["digests"].keys() == {"reason"}


@pytest.mark.parametrize("target", ["later", "office:22", "office:23", "office:99", "tent:1"])
def test_a_target_that_is_no_earlier_statement_is_refused(folder: Folder, target: str) -> None:
    """Not of a later line, of the line itself, of an event that is not there, of another chain."""
    lines = [says("close", **CLOSE), withdraw(target), says("close", **CLOSE, ref="later")]
    told = fault(folder(day=day(*lines)))
    assert told.startswith(f"line 3, target: found '{target}'; expected the ref")
    assert "or the event id of an earlier statement" in told


@pytest.mark.parametrize("target", ["office:1", "office:2", "office:20"])
def test_the_set_up_is_no_statement_to_withdraw(folder: Folder, target: str) -> None:
    assert "line 2, target" in fault(folder(day=day(withdraw(target))))


def test_a_withdrawal_may_be_withdrawn(folder: Folder) -> None:
    lines = [says("close", **CLOSE, ref="a"), withdraw("a", ref="b"), withdraw("b"), withdraw("a")]
    targets = [event.data.get("target") for event in loaded(folder(day=day(*lines)))]
    assert targets == [None, "office:21", "office:22", "office:21"]


def opening(case: str = "c1", **more: object) -> Line:
    return says("case_open", **({"case": case, "reason": "other"} | more))


OF_CASE = [
    says("case_refer", case="c1", to="registrar"),
    says("case_statement", case="c1", note="So it was."),
    says("case_exhibit", case="c1", value="0f" * 32),
    says("ruling", case="c1", value="denied"),
    says("case_close", case="c1"),
]


def test_a_case_is_opened_once(folder: Folder) -> None:
    told = fault(folder(day=day(opening(), opening())))
    assert told == "line 3, case: found 'c1', which is already taken; expected a new case"


@pytest.mark.parametrize("line", OF_CASE, ids=lambda line: line["kind"])
def test_a_case_is_opened_before_other_statements_about_it(folder: Folder, line: Line) -> None:
    assert len(loaded(folder(day=day(opening(), line)))) == 2
    told = fault(folder(day=day(line, opening())))
    assert told.startswith("line 2, case: found 'c1'; expected a case opened by")


def test_statements_about_a_closed_case_are_accepted(folder: Folder) -> None:
    assert len(loaded(folder(day=day(opening(), OF_CASE[-1], *OF_CASE)))) == 7


def test_refs_and_cases_are_each_chains_own(folder: Folder, tmp_path: Path) -> None:
    """A tablet that was offline may use a ref or open a case that the office has used too."""
    ledger = tmp_path / "season.weighbook"
    office = {"01.csv": day(says("close", **CLOSE, ref="x"), opening())}
    load(ledger, folder(days=office))
    tablet = day(says("close", game="g2", team="ash", ref="x"), opening(), withdraw("x"))
    path = folder(days=office | {"02.csv": tablet})
    load(ledger, path, chain="tablet")
    last = events_in(ledger)[-1]
    assert (last.id, last.data["target"]) == ("tablet:4", "tablet:2")
    assert load(ledger, path, chain="tablet").lines_added == 0
    assert load(ledger, path, chain="office").lines_added == 0
    # The case of another chain is not opened here; an event id names any chain's statement.
    more = {"03.csv": day(withdraw("office:21"), says("case_close", case="c1"))}
    with pytest.raises(FolderError, match=r"days/03.csv, line 3, case: found 'c1'"):
        load(ledger, folder(days=office | {"02.csv": tablet} | more), chain="tent")


def test_an_official_is_appointed_before_stating_anything(folder: Folder) -> None:
    appoint = says("appoint", value="bo", to="coach", team="ash", name="Bo Yarrow", by="dp")
    with tiny_store(folder(day=day(appoint, says("close", **CLOSE, by="bo")))) as store:
        assert "Yarrow" not in "".join(stored.body for stored in store.events())
    told = fault(folder(day=day(says("close", **CLOSE, by="bo"), appoint)))
    assert "line 2, by: found 'bo'" in told


def test_a_known_official_needs_no_name_and_a_new_one_does(folder: Folder) -> None:
    known = says("appoint", value="wa", to="registrar", by="dp")
    assert len(loaded(folder(day=day(known)))) == 1
    told = fault(folder(day=day(says("appoint", value="bo", to="registrar", by="dp"))))
    assert told.startswith(
        "line 2, name: found nothing, and 'bo' is not an official yet; expected the"
    )


@pytest.mark.parametrize("kind", ["trained", "assign"])
def test_who_was_trained_or_assigned_is_known_as_by_must_be(folder: Folder, kind: str) -> None:
    where = CLOSE if kind == "assign" else {}
    told = fault(folder(day=day(says(kind, value="bo", **where))))
    assert told.startswith("line 2, value: found 'bo'; expected an official in")
    appoint = says("appoint", value="bo", to="weighmaster", team="elm", name="Bo Yarrow", by="dp")
    assert len(loaded(folder(day=day(appoint, says(kind, value="bo", **where))))) == 2


def test_an_appointment_for_a_game_names_one_of_its_teams(folder: Folder) -> None:
    teams = TEXTS["teams"] + "oak,,d1,Oak Trees\n"
    appoint = {"value": "wa", "to": "weighmaster", "game": "g1", "by": "dp"}
    (event,) = loaded(folder(teams=teams, day=day(says("appoint", team="elm", **appoint))))
    assert (event.game, event.team, event.data["value"]) == ("g1", "elm", "wa")
    told = fault(folder(teams=teams, day=day(says("appoint", team="oak", **appoint))))
    assert told == "line 2, team: found 'oak', which does not play in g1; expected ash or elm"
    told = fault(folder(day=day(says("appoint", team="elm", **(appoint | {"game": "g9"})))))
    assert told.startswith("line 2, game: found 'g9'")


@pytest.mark.parametrize(
    ("cells", "right"),
    [
        ({"at": "1999-12-31T23:00-05:00"}, "at: found '1999-12-31T23:00-05:00'"),
        ({"at": "2100-01-01T00:00+14:00"}, "at: found '2100-01-01T00:00+14:00'"),
        ({"entered": "1925-09-05T09:00"}, "entered: found '1925-09-05T09:00'"),
    ],
)
def test_a_year_is_the_one_written(folder: Folder, cells: dict[str, str], right: str) -> None:
    told = fault(folder(day=day(says("close", **CLOSE, **cells))))
    assert told == f"line 2, {right}; expected a year from 2000 to 2099"
    edges = [says("close", **CLOSE, at="2000-01-01T00:00+14:00", entered="2099-12-31T23:59-12:00")]
    assert len(loaded(folder(day=day(*edges)))) == 1


@pytest.mark.parametrize(("initials", "fits"), [("Wm. QX", True), ("W.m.QXY", False)])
def test_initials_are_short(folder: Folder, initials: str, fits: bool) -> None:
    path = folder(day=day(says("initial", **CLOSE, number=1, value="ok", initials=initials)))
    right = f"line 2, initials: found '{initials}'; expected initials of at most 6 characters"
    if fits:
        assert loaded(path)[0].data["initials"] == initials
    else:
        assert fault(path) == right


def test_one_slip_is_one_fault(folder: Folder) -> None:
    """What a faulty line opens, enters or labels is known to the lines after it."""
    lines = [
        opening(by="xx"),
        OF_CASE[0],
        says("enter_player", player="b9", name="Bo Yarrow", by="xx", ref="bo"),
        says("stripe", **CLOSE, player="b9"),
        withdraw("bo"),
        says("weigh", game="g1", team="oak", number=1, value="ok"),
    ]
    faults = refused(folder(day=day(*lines)))
    assert [told.partition(": found")[0] for told in faults] == [
        "days/01.csv, line 2, by",
        "days/01.csv, line 4, by",
        "days/01.csv, line 7, team",
    ]


def test_a_statement_that_breaks_the_procedure_is_a_fact(folder: Folder) -> None:
    """A second weigh, a late weigh after the half, a coach who weighs: accepted, and in order."""
    lines = [
        says("half", game="g1", half=1, at="2026-09-05T10:40"),
        says("weigh", **CLOSE, number=1, value="ok", by="ca"),
        says("weigh", **CLOSE, number=1, value="over", at="2026-09-05T06:00"),
        says("late_weigh", **CLOSE, number=1, value="ok", at="2026-09-05T11:00"),
        says("half", game="g1", half=1, at="2026-09-05T10:30"),
        says("season_close", entered="2026-01-01T00:00"),
        says("close", **CLOSE),
    ]
    kinds = [line["kind"] for line in lines]
    assert [event.kind for event in loaded(folder(day=day(*lines)))] == kinds
