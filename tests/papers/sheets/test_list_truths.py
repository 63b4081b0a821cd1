"""What a list must not leave out or say wrongly, from a ledger to the paper's values."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.derive.engine import Engine
from ledger.derive.statements import all_statements
from ledger.papers.press.compose import compose
from ledger.papers.press.heads import Heads
from ledger.papers.sheets.list_parts import OpenLine
from ledger.papers.sheets.lists import ListPaper, list_sheet
from ledger.review.timeline import TimelineEntry
from ledger.say import packets
from ledger.say.settling import despite
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.countersign import countersign_in_ink, show_list
from tests.papers.samples import STAMP
from tests.review.cases_of import season
from tests.tiny import LEAGUE, says

ASH = {"game": "g1", "team": "ash"}
SIGNS = "countersign"
NOT_YET = "Not weighed: does not play yet"
UNDECIDED = "Plays the whole game. Carrying is not decided"
WEIGHED = says("weigh", **ASH, player="a1", value="ok")
CLOSE = says("close", **ASH)
ON_TIME = "Weighed before the weigh-in closes: whole game."
ABSENT = says("list", **ASH, player="a2", reason="absent")


def paper_of(store: SqliteStore, game: str, team: str, as_of: str | None = None) -> ListPaper:
    paper = list_sheet(Heads(store), game, team, as_of=as_of).context["paper"]
    assert isinstance(paper, ListPaper)
    return paper


def made(tmp_path: Path, *lines: Mapping[str, str], league: str = LEAGUE) -> ListPaper:
    with season(tmp_path, *lines, league=league) as store:
        return paper_of(store, "g1", "ash")


def html_of(paper: ListPaper) -> str:
    return " ".join(compose("ineligible_list", {"paper": paper}, stamp=STAMP).split())


def test_the_words_beside_a_line_give_the_reason_that_decided(signed: SqliteStore) -> None:
    """73 was weighed in time for nothing: after the half. A ruling gave 49 the second half, and
    the scale the ball."""
    lines = {line.number: line for line in paper_of(signed, "oak-1b", "capybaras").lines}
    late = "weighed late, at 12:28 PM, after the first half ended at 12:22 PM"
    assert (lines[73].verdicts[0].text, lines[73].because) == ("Does not play", late)
    ruled = "playing: by a ruling in case clock-at-half; carrying: by the scale"
    assert lines[49].because == ruled
    assert lines[17].because == "weighed late, at 11:50 AM; by the scale"
    assert lines[30].because == ""  # the usual: over, by the scale, on time
    assert lines[54].because == ""  # ok, and the rest as usual
    assert lines[12].because == "not weighed"


def test_a_ruling_on_carrying_alone_says_so(signed: SqliteStore) -> None:
    lines = {line.number: line for line in paper_of(signed, "acorn-2b", "dormice").lines}
    assert lines[18].because.startswith("carrying: by a ruling in case ")


@pytest.mark.parametrize(
    ("game", "team", "found"),
    [
        (
            "oak-3a",
            "pangolins",
            {"44": "Plays the whole game. Does not carry the ball: weighed over, not listed."},
        ),
        (
            "acorn-2b",
            "dormice",
            {"11": "Neither weighed nor listed: does not play.", "30": "Not on the roster; "},
        ),
        ("acorn-2a", "quokkas", dict.fromkeys(("14", "27"), f"{UNDECIDED}: ")),
        ("acorn-2a", "newts", {"62": f"{UNDECIDED}: "}),
        ("acorn-1a", "newts", {}),
    ],
)
def test_what_eligibility_knows_and_the_list_does_not(
    signed: SqliteStore, game: str, team: str, found: dict[str, str]
) -> None:
    paper = paper_of(signed, game, team)
    assert [line.number for line in paper.open] == list(found)
    assert all(line.what.startswith(found[line.number]) for line in paper.open)
    # All of these were signed all the same.
    assert ("<h2>Still open</h2>" in html_of(paper)) is bool(found)


def test_what_to_do_about_it(signed: SqliteStore) -> None:
    (newt,) = paper_of(signed, "acorn-2a", "newts").open
    assert newt.todo == "Ask the site official for a ruling."
    (pangolin,) = paper_of(signed, "oak-3a", "pangolins").open
    assert (
        pangolin.todo == "Add a line. Both weighmasters initial it."
    )  # the tape is on since 11:07
    (absent, dormouse) = paper_of(signed, "acorn-2b", "dormice").open
    assert absent.todo == "Tell both sides: No. 11 does not play."
    assert (dormouse.what, dormouse.todo) == (
        "Not on the roster; weighed ok.",
        "Write it down. The office settles it, away from the scale.",
    )


def test_many_who_are_still_to_be_weighed_share_a_row(signed: SqliteStore) -> None:
    """In the middle of the weigh-in of acorn-1a."""
    paper = paper_of(signed, "acorn-1a", "newts", as_of="2026-09-05T13:42:00.000Z")
    assert [line.name for line in paper.open] == ["17 players"]
    assert paper.open[0].what.startswith("Do not play yet: neither weighed nor listed. No. 9,")
    assert paper.not_yet.startswith(ON_TIME)


def test_before_the_weigh_in_it_says_so_large(tmp_path: Path) -> None:
    paper = made(tmp_path, says("list", **ASH, player="a2", reason="over"))
    assert (paper.waiting, paper.open) == ("Not weighed yet.", ())
    shown = html_of(paper)
    assert paper.waiting in shown
    assert (
        '<p class="to-do">Weigh-in opens at 9:30 AM. Print this list again before signing.</p>'
        ' <p class="to-do">To write by hand, use the blank list.</p>'
    ) in shown
    assert (paper.control.weighed, paper.control.over, paper.control.listed) == ("0 of 2", "–", "–")
    for said in ("Nobody is on this list.", "Signature", "Added by hand", "Number of this list"):
        assert said not in shown


def test_an_empty_list_after_the_weigh_in_is_empty(tmp_path: Path) -> None:
    paper = made(tmp_path, WEIGHED, says("weigh", **ASH, player="a2", value="ok"))
    assert (paper.waiting, paper.lines, paper.open) == ("", (), ())
    assert "Nobody is on this list." in html_of(paper)
    missing = made(tmp_path, WEIGHED)
    assert missing.open[0] == OpenLine(
        number="2",
        name="Ottla Bramblewick",
        what="Does not play yet: neither weighed nor listed.",
        todo="Weigh, or list with a reason.",
        is_to_add=True,
    )
    assert missing.not_yet.startswith(ON_TIME)  # though nobody has a line
    shown = html_of(missing)
    assert missing.not_yet in shown
    assert "<h2>Still open; settle before signing</h2>" in shown
    assert "Nobody is on this list." not in shown


@pytest.mark.parametrize(
    ("late", "more", "said", "note"),
    [
        ("second_half", [], NOT_YET, f"{ON_TIME} Weighed before the first half ends: second half."),
        ("second_half", [CLOSE], NOT_YET, "Weighed before the first half ends: second half."),
        ("second_half", [says("half", game="g1", half=1, by="ho")], "Does not play", ""),
        ("none", [], NOT_YET, f"{ON_TIME} Weighed later: does not play."),
        ("none", [CLOSE], "Does not play", ""),
    ],
)
def test_until_when_an_absent_player_can_come(
    late: str, more: list[Mapping[str, str]], said: str, note: str, tmp_path: Path
) -> None:
    league = f'{LEAGUE}[weigh_in]\nlate_players = "{late}"\n'
    paper = made(tmp_path, WEIGHED, ABSENT, *more, league=league)
    (line,) = paper.lines
    assert [one.text for one in line.verdicts] == [said]
    assert line.because == ("not weighed" if said == "Does not play" else "")
    assert paper.not_yet == note
    assert html_of(paper).count(note or "no such") == bool(note)


def test_nobody_asks_an_injured_player_to_the_scale(tmp_path: Path) -> None:
    (line,) = made(tmp_path, WEIGHED, says("list", **ASH, player="a2", reason="injured")).lines
    assert line.verdicts[0].text == "Does not play"


def test_the_strip_has_what_both_sides_compare(signed: SqliteStore) -> None:
    strip = paper_of(signed, "acorn-2b", "dormice").control
    assert (strip.limit, strip.weighed, strip.over, strip.listed) == (
        "95 lb", "17 of 18, and No. 30, not on the roster", "3", "0",
    )  # fmt: skip
    assert strip.checks.startswith("9.5 lb at ")
    assert strip.weighed_by == "Tobias Eggleplum and Ignatius Larkspoon"
    wrong = paper_of(signed, "acorn-5a", "newts").control.checks
    assert "(set to 95 lb, not 97); " in wrong
    assert "does not pass" in paper_of(signed, "oak-1a", "pangolins").control.checks


def test_the_list_says_from_when_on_the_scale_was_out_of_use(
    signed: SqliteStore, tmp_path: Path
) -> None:
    broken = paper_of(signed, "acorn-2a", "quokkas").control.checks
    assert broken == "9.5 lb at 8:27 AM; out of use from 8:32 AM"
    for team in ("capybaras", "pangolins"):  # one station, and capybaras came to it
        checks = paper_of(signed, "oak-6a", team).control.checks
        came = "no scale for 5 players of Nettlehop Capybaras, 11:00 to 11:02 AM"
        assert checks == f"{came}; 10.5 lb at 11:03 AM"
    again = made(
        tmp_path,
        says("scale_out", game="g1", at="2026-09-05T08:40", reason="bent"),
        says("station", game="g1", at="2026-09-05T08:50", reading=10, limit=95),
    ).control.checks
    assert again.startswith("out of use from 8:40 AM; 10 lb at 8:50 AM")


@pytest.mark.parametrize(
    ("game", "team", "number", "hint"),
    [
        (
            "acorn-4a",
            "newts",
            20,
            ["To settle: weighed ok. Strike off this line and take the stripe off."],
        ),
        ("acorn-6b", "marmots", 30, ["To settle: weighed. Strike off this line."]),
        ("oak-3a", "pangolins", 53, ["To settle: no stripe entered. Tape the helmet."]),
        ("oak-3a", "pangolins", 10, []),  # the tape is on
        ("acorn-4a", "newts", 5, []),  # over, and weighed over
        ("acorn-2b", "dormice", 8, []),  # weighed ok, and a ruling keeps the ball away
        ("oak-1b", "capybaras", 73, []),  # absent, and weighed too late to play
    ],
)
def test_a_line_that_the_weigh_contradicts_says_what_to_settle(
    signed: SqliteStore, game: str, team: str, number: int, hint: list[str]
) -> None:
    paper = paper_of(signed, game, team)
    (line,) = [line for line in paper.lines if line.number == number]
    assert list(line.to_settle) == hint
    assert all(one in html_of(paper) for one in hint)


def test_a_player_listed_as_injured_plays_only_by_the_leagues_rules(signed: SqliteStore) -> None:
    lines = {line.number: line for line in paper_of(signed, "oak-5b", "capybaras").lines}
    (hint,) = lines[22].to_settle
    assert hint == (
        "To settle: listed injured, weighed ok. Ask the site official. If the player may play,"
        " strike off this line."
    )
    assert [one.text for one in lines[22].verdicts] == [
        "Not settled: ask the site official first. If the player may play:",
        "Plays the whole game",
        "May carry the ball",
    ]
    assert lines[22].verdicts[0].holds_back
    assert lines[22].because == "by the scale"


def test_a_ruling_on_playing_settles_the_injury(tmp_path: Path) -> None:
    case = {"case": "c1", "by": "so"}
    injured = says("list", **ASH, player="a2", reason="injured")
    weighed = says("weigh", **ASH, player="a2", value="ok")
    opened = says("case_open", **case, **ASH, player="a2", reason="weigh")
    ruled = says("ruling", **case, **ASH, player="a2", value="decided", may_play="full")
    (line,) = made(tmp_path, WEIGHED, injured, weighed, opened, ruled).lines
    assert [one.text for one in line.verdicts] == ["Plays the whole game", "May carry the ball"]


def test_who_came_to_a_scale_out_of_use_was_not_weighed(signed: SqliteStore) -> None:
    """The strip of acorn-2a said that all 20 were weighed."""
    strip = paper_of(signed, "acorn-2a", "quokkas").control
    assert strip.weighed == "5 of 20; 15 came, scale out of use"
    assert (strip.by, strip.listed_as) == ("Weighed or checked in by", "Listed, no check-in")


def test_with_the_scale_out_of_use_nobody_is_asked_to_be_weighed(signed: SqliteStore) -> None:
    paper = paper_of(signed, "acorn-2a", "newts", as_of="2026-09-12T13:46:00.000Z")
    (line,) = paper.open
    assert line.what.startswith("Do not play yet: neither checked in nor listed. No. 33,")
    assert line.todo == "Check in by the book, or list with a reason."
    assert paper.not_yet == (
        "Checked in before the weigh-in closes: whole game."
        " Checked in before the first half ends: second half."
    )
    absent = next(line for line in paper.lines if line.number == 31)
    assert [one.text for one in absent.verdicts] == ["Not checked in: does not play yet"]
    assert paper.control.by == "Checked in by"
    shown = html_of(paper)
    assert "Checked in by <strong>Maud Jamberly" in shown
    assert not re.search("Weighed by|Listed, not weighed|Weigh, or list", shown)


def test_a_check_that_passes_brings_the_scale_back(tmp_path: Path) -> None:
    out = says("scale_out", game="g1", at="2026-09-05T08:40", reason="bent")
    check = {"game": "g1", "at": "2026-09-05T08:50", "limit": 95}
    failed, passed = says("station", **check, reading=12), says("station", **check, reading=10)
    for number, (again, todo) in enumerate(((failed, "Check in by the book"), (passed, "Weigh"))):
        paper = made(tmp_path / str(number), WEIGHED, out, again)
        assert paper.open[0].todo == f"{todo}, or list with a reason."


def test_late_arrivals_stay_a_block_after_both_signed(signed: SqliteStore) -> None:
    paper = paper_of(signed, "oak-1b", "capybaras")
    assert paper.is_signed
    assert [(one.number, one.result) for one in paper.late] == [
        ("17", "ok"), ("39", "over"), ("49", "ok"), ("73", "ok"),
    ]  # fmt: skip
    shown = html_of(paper)
    assert "Late arrivals," in shown
    assert "Added by hand," not in shown


def test_a_game_that_is_off_says_who_when_and_why_and_what_was_done(signed: SqliteStore) -> None:
    """oak-3b: eleven snapdragons were weighed when lightning came."""
    paper = paper_of(signed, "oak-3b", "snapdragons")
    assert paper.head.off == "Tabitha Steinkløver (head official) called it off at 11:14 AM."
    assert paper.off == (
        "Reason: lightning; the field was cleared.",
        "11 players were weighed and 6 listed. The entries stay on record.",
    )
    shown = html_of(paper)
    assert all(said in shown for said in (paper.head.off, *paper.off))
    assert "Do not sign. Weighs and lists for this game do not count." in shown


def test_a_signature_for_neither_side_is_shown_as_what_it_is(signed: SqliteStore) -> None:
    """In oak-4b a board member signed both lists."""
    for team in ("capybaras", "wombats"):
        stray = paper_of(signed, "oak-4b", team).signatures[-1]
        assert (stray.side, stray.name, stray.is_whole) == (
            "For neither side", "Dorothy Lapluiedor", False,
        )  # fmt: skip
        assert stray.meaning == "Board member. Only a side's own weighmaster signs for it."
        assert stray.state == "Does not count for a side"
    paper = paper_of(signed, "oak-4b", "capybaras")
    assert not paper.is_signed
    assert [one.how for one in paper.signatures] == ["", "sheet", "sheet"]


def test_a_signature_says_what_was_open_when_it_was_given(tmp_path: Path) -> None:
    """The list prints it in the state of the signature, a packet in its timeline."""
    with season(tmp_path, says("weigh", **ASH, player="a1", value="over"), ABSENT) as store:
        shown = show_list(store, "g1", "ash", "we", chain="office")
        assert shown.settling.codes == ("noncarrier_not_listed", "noncarrier_not_striped")
        scan, open_then = b"%PDF- a scan", shown.settling.codes
        countersign_in_ink(store, shown, scan, "list.pdf", despite=open_then)
        signed, due = paper_of(store, "g1", "ash").signatures[::-1]
        assert due.how == ""
        assert signed.state == (
            "Signed, no changes since; open when signed: not listed as over and no stripe"
        )
        statement = next(one for one in all_statements(Engine(store.events())) if one.kind == SIGNS)
        data = store.event(statement.event).data
        entry = TimelineEntry(statement, data, None, None, is_erased=False, is_own=False)
        assert packets.what(entry, "America/Chicago") == (
            "Signed the team's list as it was; open then: not listed as over and no stripe"
        )


@pytest.mark.parametrize("kept", [None, "no_such", ["no_such", 7], {"a": 1}])
def test_what_a_strangers_ledger_keeps_instead_says_nothing(kept: object) -> None:
    assert despite({"despite": kept}) == ""


def test_one_time_of_recording_is_told_once(signed: SqliteStore) -> None:
    paper = paper_of(signed, "acorn-2b", "dormice")
    since = [statement for line in paper.since for statement in line.statements]
    assert len(since) == 2
    assert not [statement for statement in since if "recorded" in statement]
    assert paper.recorded == ""  # the foot says it
    assert html_of(paper).count("Typed in from paper: the ledger recorded the entries on ") == 1
    before = replace(paper, recorded="Mon, 9:00 AM")
    said = "Recorded Mon, 9:00 AM, except where an entry has another time."
    assert html_of(before).count(said) == 1


def test_a_ruling_after_the_signatures_is_told_as_one(signed: SqliteStore) -> None:
    """The list said in bold that it had been changed after signing."""
    paper = paper_of(signed, "acorn-2b", "dormice")
    ruled = "Ruled on after signing: No. 8 and No. 18; arrived late: No. 6"
    assert {(one.state, one.is_whole) for one in paper.signatures} == {(ruled, True)}
    (eight, _) = paper.since
    assert eight.text.startswith("No. 8 now: plays ")
    assert eight.note == "Signed in ink: compare with the signed sheet."
    assert html_of(paper).count(eight.note) == 1
    assert eight.statements[0].startswith(
        "Ruling in case mixed-numbers: the player does not carry the ball, by "
    )


def test_a_late_arrival_with_a_ruling_is_ruled_on(signed: SqliteStore) -> None:
    """49 was weighed late, struck off and ruled on, and was told in bold as a changed line."""
    paper = paper_of(signed, "oak-1b", "capybaras")
    state = "Ruled on after signing: No. 49; arrived late: No. 17, No. 39 and No. 73"
    assert {(one.state, one.is_whole) for one in paper.signatures} == {(state, True)}


def test_a_strike_off_says_what_it_struck(signed: SqliteStore) -> None:
    """“Crossed off the list (was: absent or incomplete gear)”, beside a line that says which."""
    paper = paper_of(signed, "oak-1b", "capybaras")
    (told,) = [said for line in paper.since for said in line.statements if "off the list" in said]
    assert told.startswith("Struck off the list (was: absent), by ")


def test_a_kickoff_that_was_moved_says_from_when(signed: SqliteStore) -> None:
    head = paper_of(signed, "acorn-3b", "quokkas").head
    assert head.kickoff == "Sat, Sep 19, 2026, 2:30 PM CDT (was\u00a09:00\u00a0AM)"
    assert paper_of(signed, "acorn-3a", "newts").head.kickoff.endswith("9:00 AM CDT")


def test_after_the_half_a_signed_list_has_no_rows_for_late_players(
    signed: SqliteStore, tmp_path: Path
) -> None:
    shown = html_of(paper_of(signed, "acorn-4a", "newts"))
    assert "Late arrivals," not in shown
    assert "Late arrivals," in html_of(made(tmp_path, WEIGHED, ABSENT))


@pytest.mark.parametrize(
    ("game", "team", "empty"),
    [("acorn-3b", "marmots", 1), ("oak-4b", "capybaras", 1), ("oak-4b", "wombats", 1)],
)
def test_after_the_game_an_empty_room_to_sign_says_so(
    game: str, team: str, empty: int, signed: SqliteStore, tmp_path: Path
) -> None:
    """Nor are there empty rows for late players, though a signature is missing."""
    paper = paper_of(signed, game, team)
    assert not paper.is_signed
    assert paper.late_rows == 0
    assert html_of(paper).count("No signature entered.") == empty
    assert "No signature entered." not in html_of(made(tmp_path, WEIGHED, ABSENT))
