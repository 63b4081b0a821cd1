"""The five lines of a packet's first page, and when it says that the question was answered."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from ledger.papers.sheets.packet_context import PacketPaper
from ledger.say import packet_story
from tests.papers.sheets.test_packet_front import facts, paper
from tests.review.cases_of import adds, opens, season
from tests.tiny import says

A2 = {"game": "g1", "team": "ash", "player": "a2"}
LISTED = says("list", **A2, at="2026-09-05T08:20", by="ca", reason="over")
SIGNED = says("countersign", game="g1", team="ash", at="2026-09-05T08:50", by="wa")
WEIGHED = says("weigh", **A2, value="ok")


def packet(tmp_path: Path, *lines: Mapping[str, str]) -> PacketPaper:
    with season(tmp_path, *lines) as store:
        return paper(store, "c1")


def story(tmp_path: Path, *lines: Mapping[str, str]) -> list[str]:
    return [line.what for line in packet(tmp_path, *lines).front.story]


def test_counts_of_two_halves_are_not_of_one_time(tmp_path: Path) -> None:
    first = says("plays", **A2, at="2026-09-05T10:30", by="pc", half=1, count=4)
    second = says("plays", **A2, at="2026-09-05T12:10", by="pc", half=2, count=6)
    shown = packet(tmp_path, first, second, opens(reason="plays")).front.story
    assert [line.when for line in shown if "plays" in line.what] == [
        "Sat, Sep 5, 10:30 AM CDT to 12:10 PM CDT"
    ]


def test_a_wrong_limit_is_in_the_story(tmp_path: Path) -> None:
    """“Weighed over; weighed not over” was there without the limits that explain it."""
    wrong, right = (
        says("station", game="g1", at=f"2026-09-05T{clock}", reading=10, limit=limit)
        for clock, limit in (("08:30", 90), ("08:45", 100))
    )
    told = story(tmp_path, LISTED, wrong, WEIGHED, right, SIGNED, opens())
    assert (
        "The scale was set to 90 lb; the scale was set to 100 lb. The limit for this game: 100 lb."
    ) in told


def test_a_scale_that_was_set_after_the_player_came_is_in_the_story(tmp_path: Path) -> None:
    """“He was at the scale before the scale was”, and no line said when it was set."""
    early, late = (
        says("station", game="g1", at=f"2026-09-05T{clock}", reading=10, limit=100)
        for clock in ("08:10", "08:45")
    )
    came = says("weigh", **A2, at="2026-09-05T08:30", value="no_scale")
    told = packet(tmp_path, early, came, late, opens()).front.story
    assert [line.when for line in told if "scale was set" in line.what] == [
        "Sat, Sep 5, 8:45 AM CDT"
    ]


def test_who_listed_the_player_comes_before_when_the_game_ended(tmp_path: Path) -> None:
    """A late protest about a listing told when the half ended, which its limit tells already."""
    half = says("half", game="g1", at="2026-09-05T11:30", half=2)
    late = opens(reason="protest", player=None, at="2026-09-09T09:00")
    told = story(tmp_path, LISTED, WEIGHED, half, late)
    assert "No. 2: put on the list as over the carrier limit." in told
    assert not [line for line in told if "half ended" in line]


def test_a_weigh_beside_its_mark(tmp_path: Path) -> None:
    """The book says over, the scale of that day said ok: the story had only the book."""
    g2 = A2 | {"game": "g2"}
    mark = says("initial", **A2, value="over", initials="WE")
    out = says("scale_out", game="g2", at="2026-09-12T08:30", reason="broken")
    came = says("weigh", **g2, at="2026-09-12T08:30", value="no_scale")
    asked = opens(**g2, at="2026-09-12T09:00")
    ruled = says("ruling", case="c1", at="2026-09-12T09:10", by="so", value="upheld")
    both, *rest = story(tmp_path, WEIGHED, mark, out, came, asked, ruled)
    assert both == (
        "No. 2: weighed, not over the carrier limit, in game g1; marked in the book in g1, over the"
        " carrier limit, initials WE."
    )
    assert rest == [
        "The scale was out of use.",
        "No. 2: came to the scale; it was out of use.",
        "The question was asked.",
        "Ruled: upheld.",
    ]


def test_what_people_said_comes_before_when_the_list_was_signed(tmp_path: Path) -> None:
    said = adds("case_statement", by="ca", note="The child came from the other field.")
    ruled = adds("ruling", "09:20", by="so", value="denied")
    lines = packet(tmp_path, LISTED, WEIGHED, SIGNED, opens(), said, ruled).front.story
    assert [line.said for line in lines if line.what == "Said."] == [
        "“The child came from the other field.”"
    ]
    assert not [line for line in lines if "signed" in line.what]


def test_a_roster_question_tells_what_the_roster_says_since(tmp_path: Path) -> None:
    new = says("weigh", game="g1", team="ash", number=30, name="Tansy Pebblewick", value="ok")
    moved = says("number_change", player="a2", team="ash", number=22, by="rg",
                 at="2026-09-07T18:00")  # fmt: skip
    told = story(tmp_path, new, WEIGHED, SIGNED, moved, opens(reason="roster"))
    assert "Ottla Bramblewick: new number, 22." in told


def test_the_answer_is_the_ruling_that_counts(tmp_path: Path) -> None:
    """A packet gave the time of a ruling that no reviewer made."""
    outside = adds("ruling", "09:20", by="ap", value="upheld")
    ruled = adds("ruling", "09:40", by="so", value="denied")
    text, _ = facts(packet(tmp_path, opens(), outside, ruled).front)["To be decided by"]
    assert "Answered Sat, Sep 5, 2026, 9:40 AM CDT, in time." in text


def test_closing_without_a_ruling_is_no_answer(tmp_path: Path) -> None:
    closed = adds("case_close", "09:30", by="so")
    shown = facts(packet(tmp_path, opens(), closed).front)
    assert "Closed Sat, Sep 5, 2026, 9:30 AM CDT, in time." in shown["To be decided by"][0]


def test_a_question_about_nothing_named_has_no_others(tmp_path: Path) -> None:
    asked = opens(reason="other", game=None, team=None, player=None)
    shown = facts(packet(tmp_path, asked).front)
    assert shown["Answered before?"][0] == "Not known. The question names no player, team or game."


def test_an_exhibit_has_its_letter_in_the_record_too(tmp_path: Path) -> None:
    files = [adds("case_exhibit", by="we", value=f"{n:064d}") for n in range(2)]
    shown = packet(tmp_path, opens(reason="protest"), *files)
    assert [one.what for one in shown.moments if "Handed" in one.what] == [
        "Handed in exhibit A",
        "Handed in exhibit B",
    ]


def test_the_roster_and_the_weigh_come_before_the_listing(tmp_path: Path) -> None:
    """Of five lines two were about one child’s listing, and none said what became of the rest."""
    new = says("weigh", game="g1", team="ash", number=30, name="Tansy Pebblewick", value="ok",
               by="wa")  # fmt: skip
    moves = [
        says("number_change", player=player, team="ash", number=number, by="rg",
             at="2026-09-07T18:00")
        for player, number in (("a1", 21), ("a2", 22))
    ]  # fmt: skip
    ruled = adds("ruling", "09:40", by="ap", value="decided")
    asked = opens(reason="roster")
    told = story(tmp_path, LISTED, new, WEIGHED, SIGNED, *moves, asked, ruled)
    assert told[-1].startswith("Ottla Bramblewick: new number, 22")
    assert "No. 2: weighed, not over the carrier limit." in told


def test_a_broken_scale_of_another_game_is_not_in_the_story(tmp_path: Path) -> None:
    g2 = A2 | {"game": "g2"}
    out = says("scale_out", game="g2", at="2026-09-12T08:30", reason="broken")
    came = says("weigh", **g2, at="2026-09-12T08:40", value="ok")
    told = story(tmp_path, WEIGHED, out, came, opens())
    assert not [line for line in told if "out of use" in line]


def test_a_name_keeps_its_capital_in_the_middle_of_a_line() -> None:
    told = ["The scale was set to 95 lb", "The scale was set to 97 lb", "Bo Yarrow: added"]
    assert packet_story.moments(told, 0) == (
        "The scale was set to 95 lb; the scale was set to 97 lb; Bo Yarrow: added."
    )
