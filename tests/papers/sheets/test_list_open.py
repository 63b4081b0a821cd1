"""What a list says is still open, and that its numbers add up, from a ledger to the paper."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from pathlib import Path

import pytest

from ledger.papers.sheets import list_parts
from ledger.papers.sheets.list_parts import OpenLine
from ledger.papers.sheets.lists import ListPaper
from ledger.say.lists import printed_lines
from ledger.say.settling import also
from ledger.store.sqlite.store import SqliteStore
from tests.make_sample_season import FOLDER
from tests.papers.sheets.test_list_truths import WEIGHED, html_of, made, paper_of
from tests.tiny import says

A1 = {"game": "g1", "team": "ash", "player": "a1"}
A2 = {"game": "g1", "team": "ash", "player": "a2"}
OVER = says("weigh", **A2, value="over")
STRIPE = says("stripe", **A2)
ABSENT = says("list", **A2, reason="absent")
SIGNED = [says("countersign", game="g1", team="ash", by=by, at="2026-09-05T09:30")
          for by in ("wa", "we")]  # fmt: skip
HAND = "<strong>Added by hand,</strong>"


def because_of(paper: ListPaper, number: int) -> str:
    return next(line.because for line in paper.lines if line.number == number)


def settles(paper_open: tuple[OpenLine, ...]) -> list[tuple[str, str, str]]:
    return [(one.number, one.what, one.todo) for one in paper_open]


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (
            [OVER],
            [
                "Plays the whole game. Does not carry the ball: weighed over, not listed.",
                "Add a line. Both weighmasters initial it. Tape the helmet.",
            ],
        ),
        (
            [OVER, STRIPE],
            [
                "Plays the whole game. Does not carry the ball: weighed over, not listed.",
                "Add a line. Both weighmasters initial it.",
            ],
        ),
        (
            [says("weigh", **A2, value="ok"), STRIPE],
            ["Weighed ok, and the helmet is striped.", "Take the stripe off."],
        ),
        ([says("weigh", **A2, value="ok")], []),
    ],
)
def test_a_stripe_of_a_player_without_a_line(
    lines: list[Mapping[str, str]], said: list[str], tmp_path: Path
) -> None:
    paper = made(tmp_path, WEIGHED, *lines)
    assert [text for one in paper.open for text in (one.what, one.todo)] == said


@pytest.mark.parametrize(
    ("lines", "caption"),
    [
        ([OVER, STRIPE], "before signing"),
        ([OVER, STRIPE, SIGNED[0]], "after the first signature"),
        ([OVER, STRIPE, *SIGNED], "after signing"),
        ([ABSENT], "before signing"),
        ([ABSENT, *SIGNED], None),
    ],
)
def test_there_is_room_for_a_line_that_is_to_be_added(
    lines: list[Mapping[str, str]], caption: str | None, tmp_path: Path
) -> None:
    shown = html_of(made(tmp_path, WEIGHED, *lines))
    assert (HAND in shown) is (caption is not None)
    assert caption is None or f"{HAND} {caption}" in shown


def test_a_player_struck_off_and_not_weighed(tmp_path: Path) -> None:
    struck = says("strike_off", **A2, at="2026-09-05T08:43")
    half = says("half", game="g1", half=1, by="ho", at="2026-09-05T10:40")
    paper = made(tmp_path / "1", WEIGHED, ABSENT, struck)
    (row,) = settles(paper.open)
    assert row[0] == "2"
    assert row[1].startswith("Does not play yet: struck off at 8:43 AM")
    assert row[1].endswith(", but not weighed.")
    assert row[2] == "Weigh, or list again with a reason."
    (row,) = settles(made(tmp_path / "2", WEIGHED, ABSENT, struck, half).open)
    assert row[1].endswith(", but not weighed: does not play.")


def test_who_was_weighed_on_a_scale_set_to_another_limit(signed: SqliteStore) -> None:
    """At 8:27 the scale was set to 95, not 97: who was over then may not be over."""
    before = paper_of(signed, "acorn-5a", "newts", as_of="2026-10-03T13:46:00.000Z")
    said = "Weighed over, scale set to 95 lb.", "Ask the site official what counts."
    assert settles(before.open)[-2:] == [("5", *said), ("12", *said)]
    assert because_of(before, 5) == because_of(before, 12) == "not settled: scale set to 95 lb"
    # A reviewer has ruled on 12 since.
    after = paper_of(signed, "acorn-5a", "newts")
    assert settles(after.open)[-1] == ("5", *said)
    assert because_of(after, 5) == "not settled: scale set to 95 lb"
    assert because_of(after, 12) == "carrying: by a ruling in case old-limit"


def test_many_players_in_the_same_doubt_share_a_row(
    signed: SqliteStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(list_parts, "MOST_ROWS", 1)
    (line,) = paper_of(signed, "acorn-4b", "quokkas").open
    assert (line.number, line.name) == ("", "2 players")
    assert line.what == "Weighed ok, scale out of use. No. 18, 21"


@pytest.mark.parametrize(
    ("game", "team", "said"),
    [
        ("oak-3a", "pangolins", "Also to settle: No. 53, see its line."),
        ("acorn-4a", "newts", "To settle: No. 20, see its line."),
        ("acorn-1a", "newts", ""),
    ],
)
def test_the_box_says_whose_lines_say_more(
    game: str, team: str, said: str, signed: SqliteStore
) -> None:
    paper = paper_of(signed, game, team)
    assert paper.also_open == said
    assert said in html_of(paper)
    assert ('class="also"' in html_of(paper)) is bool(said)


def test_several_lines_that_say_more() -> None:
    assert also(["20", "53"]) == "Also to settle: No. 20 and No. 53, see their lines."


def test_who_was_weighed_while_the_scale_was_out_of_use(signed: SqliteStore) -> None:
    paper = paper_of(signed, "acorn-4b", "quokkas")
    said = "Weighed ok, scale out of use.", "Ask the site official what counts."
    assert settles(paper.open) == [("18", *said), ("21", *said)]
    assert [one.name for one in paper.open] == ["Mei Yunduo-Hill", "Odalys Nieveclara"]


@pytest.mark.parametrize(
    ("limit", "value", "is_in_doubt"),
    [(95, "over", True), (95, "ok", False), (105, "ok", True), (105, "over", False)],
)
def test_the_other_answer_of_a_wrong_limit_holds(
    limit: int, value: str, is_in_doubt: bool, tmp_path: Path
) -> None:
    station = says("station", game="g1", at="2026-09-05T08:30", reading=10, limit=limit)
    listed = says("list", **A1, reason="over")
    paper = made(tmp_path, station, says("weigh", **A1, value=value), ABSENT, listed, STRIPE)
    said = [one.what for one in paper.open if "scale set to" in one.what]
    assert bool(said) is is_in_doubt


def test_two_players_with_one_number_go_by_name(signed: SqliteStore) -> None:
    paper = paper_of(signed, "oak-6b", "snapdragons", as_of="2026-10-10T16:16:00.000Z")
    (line,) = [line for line in paper.lines if line.number == 65]
    assert line.to_settle == ("Another player with No. 65 was weighed ok. Go by name.",)


def test_a_line_that_came_after_the_signatures_is_counted(signed: SqliteStore) -> None:
    shown = html_of(paper_of(signed, "oak-5a", "wombats"))
    assert "Signatures to this list: 8 printed lines, 1 of them added since signing" in shown
    assert "added since" not in html_of(paper_of(signed, "acorn-4a", "newts"))


@pytest.mark.parametrize(
    ("game", "team", "number"),
    [("oak-1b", "capybaras", 39), ("acorn-5b", "marmots", 50), ("oak-7b", "capybaras", 39),
     ("oak-4b", "wombats", 28)],
)  # fmt: skip
def test_a_reason_added_to_a_line_that_was_signed_adds_no_line(
    game: str, team: str, number: int, signed: SqliteStore
) -> None:
    """A player listed as absent came late, over: a line was there when they signed."""
    paper = paper_of(signed, game, team)
    lines = f"{len(paper.lines)} printed lines"
    assert paper.counted == f"{lines}; reason added since signing: No. {number}"


def test_new_lines_and_new_reasons_are_told_apart() -> None:
    assert printed_lines(0, 0, ()) == "an empty list"
    assert printed_lines(1, 0, ()) == "1 printed line"
    assert printed_lines(9, 1, (39, None)) == (
        "9 printed lines, 1 of them added since signing; reason added since signing: No. 39 and"
        " No. –"
    )


def test_the_numbers_of_the_strip_add_up_to_the_roster(signed: SqliteStore) -> None:
    """Injured players and those with another reason were counted nowhere."""
    with (FOLDER / "games.csv").open(encoding="utf-8") as file:
        sides = [(row["game"], row[side]) for row in csv.DictReader(file) for side in
                 ("home", "visitor")]  # fmt: skip
    for game, team in sides:
        paper = paper_of(signed, game, team)
        if paper.head.is_off:
            continue
        weighed, roster = map(int, re.match(r"(\d+) of (\d+)", paper.control.weighed).groups())
        came = int((re.findall(r"(\d+) came", paper.control.weighed) or ["0"])[0])
        missing = sum("weighed nor listed" in one.what or "not weighed" in one.what
                      for one in paper.open)  # fmt: skip
        assert weighed + came + int(paper.control.listed) + missing == roster, (game, team)
