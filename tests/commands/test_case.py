"""weighbook case: three stories of the sample season from finding to ruling, and what goes wrong.

Each story runs on a copy of the sample ledger, in which the same questions were answered once
already, under other ids; the answers here are entered later.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from ledger.commands import weighbook
from ledger.errors import InputError, LedgerError
from ledger.say.monday import ASK
from tests.conftest import SAMPLE
from tests.review.cases_of import opens, season

Run = Callable[..., Result]
# The play sheet of the sample season's README, and the digest its folder states.
pytestmark = pytest.mark.usefixtures("papers_set_once")
SHEET = "Play sheet of acorn-3b, quokkas, first half: 46 four plays. Seen by two counters.\n"
SHEET_SHA256 = "7f6d1df89d7eef4a9881f30c308a156e6d87a6860b45aa3a42640762b7f7a224"


def at(store: Path) -> Run:
    """Run a command on this ledger; both its times are `when`, local, where that is given."""

    def run(*words: str, when: str | None = None) -> Result:
        times = ["--at", when, "--entered", when] if when else []
        given = ["--store", str(store), *words, *times]
        result = CliRunner().invoke(weighbook, given)
        if isinstance(result.exception, LedgerError):
            raise result.exception
        assert result.exit_code == 0, result.output
        return result

    return run


@pytest.fixture
def run(sample_copy: Path) -> Run:
    return at(sample_copy)


def answer(run: Run, *words: str) -> Any:
    return json.loads(run(*words, "--format", "json").stdout)


def child(run: Run, command: str, game: str, player: str) -> dict[str, Any]:
    (row,) = (row for row in answer(run, command, game) if row["player"] == player)
    return dict(row)


def found(run: Run, game: str, rule: str) -> list[tuple[str | None, ...]]:
    rows = answer(run, "findings", "--game", game, "--rule", rule)
    return [(row["team"], row["player"], row["case"]) for row in rows]


def standings(case: dict[str, Any]) -> list[str]:
    return [reviewer["standing"] for reviewer in case["reviewers"]]


def test_the_line_of_the_monday_page_opens_a_case(run: Run) -> None:
    """About a child, and about a whole game, whose finding names neither team nor number."""
    of_child = {"CASE": "no-mark", "RULE": "carrier_undecided", "GAME": "acorn-2a",
                "TEAM": "quokkas", "N": "14", "OFFICIAL": "quokkas-wm1"}  # fmt: skip
    words = [of_child.get(word, word) for word in ASK.split()]
    assert "acorn-2a quokkas 14" in run(*words[1:], when="2026-09-14 18:00").stdout
    of_game = {"CASE": "coach", "RULE": "coach_near_scale", "GAME": "oak-2a",
               "OFFICIAL": "wombats-wm1"}  # fmt: skip
    game = [of_game.get(word, word) for word in ASK.replace("--team TEAM --number N ", "").split()]
    assert "Opened coach" in run(*game[1:], when="2026-09-14 18:01").stdout


# The stories


def test_a_number_mix_up(run: Run) -> None:
    """A child in 30 is on no roster; it goes to the presidents, who let the weigh stand."""
    day = "2026-09-12 09:05"
    opened = run("case", "open", "--from-finding", "not_on_roster", "--game", "acorn-2b",
                 "--by", "marmots-wm3", when=day).stdout  # fmt: skip
    assert "Opened case-2026-09-12-1" in opened
    assert "a roster question about acorn-2b dormice 30" in opened
    assert "in the office" in opened
    assert "An answer is due by Sat, Sep 19, 2026, 9:05 AM CDT." in opened
    assert "case-2026-09-12-1" in run("case", "list", "--open").stdout

    case = "case-2026-09-12-1"
    monday = "2026-09-14 18:"
    first = run("case", "refer", case, "--by", "site-nettlehop", when="2026-09-12 09:06")
    assert "Passed to the association president" in first.stdout
    run("case", "say", case, "--by", "quillowick-president", "--note",
        "Registered with us, and put on no roster.", when=monday + "20")  # fmt: skip
    second = run("case", "refer", case, "--by", "quillowick-president", when=monday + "26")
    assert "Passed to the division president" in second.stdout
    assert "Passed over" not in second.stdout
    assert answer(run, "case", "show", case)["next_reviewer"] is None

    player = "unlisted-acorn-2b-dormice-30"
    before = child(run, "eligibility", "acorn-2b", player)
    ruled = run("case", "rule", case, "--by", "acorn-president", "--value", "decided",
                "--may-play", "full", when=monday + "40")  # fmt: skip
    assert f"game acorn-2b, team dormice, player {player}" in ruled.stdout
    after = child(run, "eligibility", "acorn-2b", player)
    assert (before["basis"], after["basis"]) == ("scale", "ruling")
    assert after["may_play"] == "full"
    assert after["may_carry"] == before["may_carry"]

    run("case", "close", case, "--by", "acorn-president", when=monday + "41")
    told = answer(run, "case", "show", case)
    assert (told["state"], told["ruling"], told["is_overdue"]) == ("closed", "decided", False)
    assert standings(told) == ["heard", "ruled"]
    assert len(told["timeline"]) == 6
    assert "not_on_roster" in {finding["rule"] for finding in told["findings"]}
    assert case not in run("case", "list", "--open").stdout
    assert run("audit").exit_code == 0


def test_a_broken_scale_and_a_player_without_a_mark(run: Run) -> None:
    """Quokkas 14 is undecided; who has no say says yes, who has says no."""
    opened = run("case", "open", "no-mark", "--from-finding", "carrier_undecided", "--game",
                 "acorn-2a", "--team", "quokkas", "--number", "14", "--by", "quokkas-wm1",
                 when="2026-09-12 08:50").stdout  # fmt: skip
    assert "a weigh-in question about acorn-2a quokkas 14" in opened
    assert "Reviewers: site official, then the head official, then the division" in opened

    kind = run("case", "rule", "no-mark", "--by", "quillowick-president", "--value", "upheld",
               "--may-carry", "yes", when="2026-09-12 08:52")  # fmt: skip
    assert "quillowick-president holds none of the roles that review this case" in kind.stderr
    assert "changes nothing about" in kind.stderr
    assert child(run, "eligibility", "acorn-2a", "k633")["may_carry"] == "undecided"
    assert (None, None, None) in found(run, "acorn-2a", "ruling_without_authority")
    assert ("quokkas", "k633", None) in found(run, "acorn-2a", "carrier_undecided")
    assert answer(run, "case", "show", "no-mark")["state"] == "open"
    due = " ".join(run("case", "show", "no-mark").stdout.split())
    assert "ruled on Sat, Sep 12, 2026, 8:52 AM CDT, but not by one of its reviewers." in due
    assert "; answered" not in due

    ruled = run("case", "rule", "no-mark", "--by", "head-1", "--value", "denied", "--may-carry",
                "no", "--note", "No mark, no ball.", "--close",
                when="2026-09-12 08:54")  # fmt: skip
    assert ruled.stderr == ""
    assert "carrying is not decided; by the book" in ruled.stdout
    assert "does not carry the ball; by a ruling" in ruled.stdout
    assert child(run, "eligibility", "acorn-2a", "k633")["basis"] == "ruling"
    assert ("quokkas", "k633", None) not in found(run, "acorn-2a", "carrier_undecided")
    told = answer(run, "case", "show", "no-mark")
    assert standings(told) == ["skipped", "ruled", "not_yet"]
    assert "1. site official: passed over" in run("case", "show", "no-mark").stdout


def test_a_protest_about_a_late_players_plays(run: Run, tmp_path: Path) -> None:
    """Monday's ruling decides eligibility, and does not undo Saturday's plays (sql/README.md,
    section 7: exposure counts only rulings at or before the end of the game)."""
    monday = "2026-09-21 "
    opened = run("case", "open", "late-child", "--from-finding", "played_first_half", "--game",
                 "acorn-3b", "--reason", "protest", "--by", "marmots-coach1",
                 when=monday + "07:48")  # fmt: skip
    assert "a protest about acorn-3b quokkas 46" in opened.stdout
    assert opened.stderr == ""  # in time

    sheet = tmp_path / "sheet.txt"
    sheet.write_text(SHEET, encoding="utf-8")
    handed_in = run("case", "exhibit", "late-child", str(sheet), "--by", "marmots-coach1")
    assert f"SHA-256 {SHEET_SHA256}" in handed_in.stdout
    run("case", "say", "late-child", "--by", "quokkas-coach2", "--note", "Too early; my mistake.")
    passed = run("case", "refer", "late-child", "--by", "head-2", "--to", "division president",
                 when=monday + "18:44")  # fmt: skip
    assert "Skipped: site official." in passed.stdout

    before = child(run, "exposure", "acorn-3b", "k529")
    run("case", "rule", "late-child", "--by", "acorn-president", "--value", "upheld",
        "--may-play", "full", "--close", when="2026-09-24 20:15")  # fmt: skip
    assert child(run, "exposure", "acorn-3b", "k529") == before
    assert child(run, "eligibility", "acorn-3b", "k529")["may_play"] == "full"
    assert found(run, "acorn-3b", "played_first_half") == [("quokkas", "k529", None)]

    told = answer(run, "case", "show", "late-child")
    assert standings(told) == ["skipped", "heard", "ruled"]
    assert [one["kept_as"] for one in told["exhibits"]] == ["sheet.txt"]
    assert told["is_protest_late"] is False
    # The same file was handed in in the season's own case, as a digest alone: now it is there.
    assert "kept as sheet.txt" in run("case", "show", "late-plays").stdout


def test_a_ruling_before_the_end_of_the_game_counts_for_the_plays_too(run: Run) -> None:
    """Exposure counts rulings whose `at` is not after half 2 (sql/README.md, section 7)."""
    run("case", "open", "in-time", "--reason", "weigh", "--game", "acorn-3b", "--team", "quokkas",
        "--player", "k529", "--by", "quokkas-coach2", when="2026-09-19 14:50")  # fmt: skip
    run("case", "rule", "in-time", "--by", "head-2", "--value", "upheld", "--may-play", "full",
        when="2026-09-19 14:51")  # fmt: skip
    row = child(run, "exposure", "acorn-3b", "k529")
    assert (row["may_play"], row["recorded"]) == ("full", 10)
    assert found(run, "acorn-3b", "played_first_half") == []


# What else people see


def test_the_sample_season_reads_within_a_terminal(run: Run) -> None:
    shown = run("case", "list").stdout
    for row in answer(run, "case", "list"):
        shown += run("case", "show", row["case_id"]).stdout
    assert max(map(len, shown.splitlines())) <= 80
    with (SAMPLE / "players.csv").open(encoding="utf-8", newline="") as file:
        names = [word for row in csv.DictReader(file) for word in row["name"].split()]
    assert len(names) > 300
    assert not [name for name in names if re.search(rf"\b{re.escape(name)}\b", shown)]


def test_a_late_protest_is_told_so_and_recorded(run: Run) -> None:
    opened = run("case", "open", "too-late", "--reason", "protest", "--game", "acorn-3b", "--by",
                 "marmots-coach1", when="2026-09-21 16:26")  # fmt: skip
    assert "Protests about this game were due by Mon, Sep 21, 2026, 4:25 PM CDT" in opened.stderr
    assert (None, None, "too-late") in found(run, "acorn-3b", "protest_late")


def test_a_safety_question_is_told_to_coaches_and_officials_at_once(run: Run) -> None:
    opened = run("case", "open", "--reason", "safety", "--game", "oak-7b", "--by", "oak-president")
    assert "Tell at once: head coaches, the site official, the head official." in opened.stdout


def test_what_is_overdue_says_so(tmp_path: Path) -> None:
    with season(tmp_path, opens(), opens("c2")):
        run = at(tmp_path / "tiny.weighbook")
        run("case", "close", "c2", "--by", "so", when="2026-09-13 10:00")
        assert "due Sat, Sep 12, 2026, passed" in run("case", "list").stdout
        assert "closed: no ruling, late" in run("case", "list").stdout
        assert "time is up." in run("case", "show", "c1").stdout
        early = run("case", "show", "c1", "--as-of", "2026-09-12 09:00").stdout
        assert "Due        Sat, Sep 12, 2026, 9:00 AM CDT.\n" in early
        shown = " ".join(run("case", "show", "c2").stdout.split())
        assert "answered Sun, Sep 13, 2026, 10:00 AM CDT, late." in shown


def test_closed_without_a_ruling_is_told(run: Run) -> None:
    run("case", "open", "c9", "--reason", "other", "--by", "head-1")
    assert (
        "No reviewer of this case has ruled" in run("case", "close", "c9", "--by", "head-1").stderr
    )


def test_a_case_that_was_closed_before_is_told(run: Run) -> None:
    run("case", "open", "c9", "--reason", "weigh", "--by", "newts-wm1")
    first = run("case", "close", "c9", "--by", "head-1")
    assert "already closed" not in first.stderr
    event = first.stdout.removeprefix("Recorded as ").strip(".\n")
    again = run("case", "close", "c9", "--by", "head-1").stderr
    assert f"It was already closed by {event}; both entries stay.\n" in again


def test_words_of_others_cannot_move_the_terminal(run: Run) -> None:
    run("case", "open", "c9", "--reason", "other", "--by", "head-1", "--note",
        "\x1b[2Jone\nwith\ttwo \u202e lines")  # fmt: skip
    shown = run("case", "show", "c9").stdout
    assert "“[2Jone with two lines”" in shown
    assert "\x1b" not in shown


def test_csv_has_the_rows_of_the_list_and_of_the_timeline(run: Run) -> None:
    listed = run("case", "list", "--format", "csv").stdout
    rows = list(csv.DictReader(io.StringIO(listed)))
    assert [row["Case"] for row in rows] == [r["case_id"] for r in answer(run, "case", "list")]
    told = run("case", "show", "mixed-numbers", "--format", "csv").stdout
    timeline = list(csv.DictReader(io.StringIO(told)))
    assert timeline[0]["Entry"] == "office:1782"
    assert timeline[0]["Roles"] == "board_member weighmaster"


def test_every_command_is_in_the_order_of_a_cases_life() -> None:
    told = CliRunner().invoke(weighbook, ["case", "--help"]).output
    order = ("list", "show", "open", "refer", "say", "exhibit", "rule", "close")
    places = [told.index(f"\n  {name} ") for name in order]
    assert places == sorted(places)
    assert "it accuses nobody" in told


# Bad input


@pytest.mark.parametrize(
    ("words", "message", "hint"),
    [
        ("show mixed-number", "no case mixed-number ", "Did you mean mixed-numbers?"),
        ("show zebra", "no case zebra ", "weighbook case list"),
        ("refer zebra", "no case zebra ", "weighbook case list"),
        ("say zebra --note Hello", "no case zebra ", "weighbook case list"),
        ("exhibit zebra /dev/null", "no case zebra ", "weighbook case list"),
        ("rule zebra --value upheld", "no case zebra ", "weighbook case list"),
        ("close zebra", "no case zebra ", "weighbook case list"),
        ("open late-plays --reason plays", "late-plays was opened before", "case show late-plays"),
        ("open", "no reason was given", "--from-finding"),
        ("open --reason plays --game acorn-9a", "acorn-9a", "Fix these"),
        ("open --reason quarrel", "quarrel", "Fix these"),
        ("open --from-finding plays_shirt", "no rule plays_shirt", "plays_short"),
        ("open --from-finding plays_short --game acorn-1a", "no finding plays_short", "acorn-1a"),
        (
            "open --from-finding plays_short --team marmot",
            "no team marmot in",
            "marmots?",
        ),
        (
            "open --from-finding plays_short --game acron3b",
            "no game acron3b",
            "acorn-3b or acorn-7b?",
        ),
        (
            "open --from-finding plays_short",
            "6 findings plays_short: oak-2a pangolins 41,",
            "--team",
        ),
        ("say late-plays", "nothing was said", "--note"),
        ("refer late-plays --to referee", "one of weighmaster, coach", "Fix these"),
        ("refer late-plays", "no reviewer of late-plays is left", "--to"),
        ("exhibit late-plays no-such-file", "no-such-file: this file cannot", "Give the path"),
        ("rule late-plays --value perhaps", "upheld, denied or decided", "Fix these"),
        ("rule slow-answer --value denied --may-play none", "game, team, and player", "Fix these"),
        ("say late-plays --note Hello --chain tablet", "not opened in chain", "--chain office"),
    ],
)
def test_bad_input_says_what_would_be_right(
    sample_copy: Path, words: str, message: str, hint: str
) -> None:
    before = sample_copy.read_bytes()
    by = [] if words.startswith("show") else ["--by", "head-1"]
    with pytest.raises(LedgerError) as caught:
        at(sample_copy)("case", *words.split(), *by)
    assert caught.value.exit_status == 2
    assert message in caught.value.message
    assert hint in caught.value.hint
    assert sample_copy.read_bytes() == before


def test_an_unknown_official_is_told_who_is_near(run: Run) -> None:
    with pytest.raises(InputError, match="head-2") as caught:
        run("case", "close", "late-plays", "--by", "head-22")
    assert caught.value.hint
