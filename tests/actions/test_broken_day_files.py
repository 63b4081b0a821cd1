"""A day file with lines that cannot be read: what is told of the other lines, and what is not."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.actions.loading import load as load_contents
from ledger.errors import FolderError
from ledger.record.folder import read_readable
from tests.tiny import day, load, says

Folder = Callable[..., Path]
PLAIN = "Fix these, then run the same command again."


def weigh(**more: object) -> dict[str, str]:
    return says("weigh", game="g1", team="ash", value="ok") | says("weigh", **more)


def told(path: Path) -> tuple[list[str], str]:
    """Each fault as "file, line, column: found", and the hint."""
    contents = read_readable(path)
    with pytest.raises(FolderError) as caught:
        load_contents(path.with_name("season.weighbook"), contents)
    faults = [str(fault).partition("; expected")[0] for fault in caught.value.faults]
    return faults, caught.value.hint


def test_lines_beside_one_that_cannot_be_read_are_checked_too(folder: Folder) -> None:
    lines = [
        weigh(number=1, at="noon"),
        weigh(number=9),
        weigh(player="a9"),
        weigh(number=2, by="nobody"),
        weigh(number=2, game="g9"),
        says("case_close", case="c9"),
    ]
    faults, hint = told(folder(day=day(*lines)))
    assert faults == [
        "days/01.csv, line 2, at: found 'noon'",
        (
            "days/01.csv, line 3, number: found 9, which is not on the "
            "roster of ash at the kickoff of g1"
        ),
        "days/01.csv, line 4, player: found 'a9'",
        "days/01.csv, line 5, by: found 'nobody'",
        "days/01.csv, line 6, game: found 'g9'",
        "days/01.csv, line 7, case: found 'c9'",
    ]
    assert hint == PLAIN


@pytest.mark.parametrize(
    ("unread", "line"),
    [
        (says("enter_player", player="b1", name="Bo Yarrow", at="noon"), weigh(player="b1")),
        (
            says("appoint", value="wz", name="Bo", to="weighmaster", team="ash", by="rg", at="x"),
            weigh(player="a1", by="wz"),
        ),
        (says("case_open", case="c1", reason="plays", at="noon"), says("case_close", case="c1")),
        (
            weigh(number=1, at="noon", ref="r1"),
            says("withdraw", target="r1", reason="typed twice"),
        ),
        (
            says("appoint", value="wz", name="Bo", to="coach", team="ash", by="rg", at="noon"),
            says("appoint", value="wz", to="weighmaster", team="ash", by="rg"),
        ),
        (says("number_change", team="ash", player="a1", number=9, at="noon"), weigh(number=9)),
        (says("game_change", game="g1", reason="rain", at="noon"), weigh(number=9)),
        (says("rooster_add", team="ash", player="u1", number=9), weigh(number=9)),
    ],
    ids=["player", "official", "case", "ref", "name", "roster", "kickoff", "unknown kind"],
)
def test_what_an_unread_line_may_bring_in_is_not_told_to_be_unknown(
    folder: Folder, unread: dict[str, str], line: dict[str, str]
) -> None:
    faults, hint = told(folder(day=day(unread, line)))
    assert [fault.partition(",")[2].partition(",")[0] for fault in faults] == [" line 2"]
    assert hint == "Fix these, then load again: 1 entry was not fully checked yet."


def test_a_line_of_another_length_may_bring_in_anything(folder: Folder) -> None:
    lines = day(weigh(player="b1"), weigh(number=9), weigh(player="a1", game="g9"))
    faults, hint = told(folder(day=f"{lines}one,comma,too,many\n"))
    assert [fault.partition(" found")[0] for fault in faults] == [
        "days/01.csv, line 4, game:",
        "days/01.csv, line 5:",
    ]
    assert hint == "Fix these, then load again: 1 file and 2 entries were not fully checked yet."


def test_a_file_loaded_before_is_not_counted_off_beside_an_unread_line(folder: Folder) -> None:
    load(folder().with_name("season.weighbook"), folder(day=day(weigh(number=1))))
    days = {"02.csv": day(weigh(number=9))}
    faults, hint = told(folder(days=days, day=day(weigh(number=1, at="noon"), weigh(number=2))))
    assert faults == ["days/01.csv, line 2, at: found 'noon'"]
    assert hint == "Fix these, then load again: 2 entries were not fully checked yet."
    faults, _ = told(folder(day=day(weigh(number=1)), days={"02.csv": day(weigh(at="noon"))}))
    assert faults == ["days/02.csv, line 2, at: found 'noon'"]


def test_rows_are_compared_beside_a_broken_day_file(folder: Folder) -> None:
    load(folder().with_name("season.weighbook"), folder())
    players = "player,team,number,name\na1,ash,3,Pip Quillfeather\n"
    faults, _ = told(folder(players=players, day=day(weigh(number=1, at="noon"))))
    assert [fault.partition(":")[0] for fault in faults][:2] == [
        "days/01.csv, line 2, at",
        "players.csv",
    ]
    assert "players.csv, line 2, number: found 3, but 1 was loaded" in faults[-1]
