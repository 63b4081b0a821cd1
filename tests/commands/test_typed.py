"""Games, teams, players, times and words as people type them, and how it is said back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.chain.event import Event
from tests.commands.conftest import Run
from tests.tiny import day, events_in, load, says

Folder = Callable[..., Path]
MOVED = says("game_change", by="rg", game="g2", kickoff="2026-09-13T13:30", reason="rain")
TEAMS = (
    "team,association,division,name\nash,grove,d1,Ash Trees\nelm,,d1,Élm Trees\nfir,,d1,Fir Cones\n"
)
GAMES = (
    "game,division,kickoff,site,home,visitor\n"
    "g1,d1,2026-09-05T10:00,Green,ash,elm\ng2,d1,2026-09-12T10:00,,elm,ash\n"
    "g3,d1,2026-09-19T10:00,,fir,elm\n"
)


@pytest.fixture
def ledger(folder: Folder, tmp_path: Path) -> Path:
    """The tiny season with a third team; g2 is moved to 13 September, 1:30 PM."""
    store = tmp_path / "season.weighbook"
    load(store, folder(teams=TEAMS, games=GAMES, day=day(MOVED)))
    return store


def last(ledger: Path) -> Event:
    return events_in(ledger)[-1]


@pytest.mark.parametrize(
    ("typed", "game"),
    [
        ("G1", "g1"),
        ("9/5 ash", "g1"),
        ("2026-09-13 elm trees", "g2"),
        ("9/13/2026", "g2"),
        ("ash at elm", "g2"),
        ("Elm vs. Ash, 9/13", "g2"),
        ("week 2", "g2"),
        ("cones", "g3"),
    ],
)
def test_a_game_by_day_and_team(run: Run, ledger: Path, typed: str, game: str) -> None:
    ran = run("eligibility", typed)
    assert ran.status == 0, ran.err
    assert ran.err == f"'{typed}': the game {game}.\n"
    assert ran.out == run("eligibility", game).out
    assert run("status", typed).out == run("status", game).out


@pytest.mark.parametrize(
    ("command", "told"),
    [
        (["eligibility", "ash"], "'ash' may be the game g1, g2\nType one of these ids, or more"),
        (["book", "trees"], "'trees' may be the team ash, elm\n"),
        (["eligibility", "9/12 ash"], "no game 9/12 ash in this ledger"),
        (["eligibility", "week 0"], "no game week 0 in this ledger"),
        (["why", "g1", "ash 7"], "ash 7 is not among the players of g1"),
    ],
)
def test_what_may_be_several_or_nothing_is_not_guessed(
    run: Run, ledger: Path, command: list[str], told: str
) -> None:
    ran = run(*command)
    assert (ran.status, ran.out) == (2, "")
    assert told in ran.err


def test_a_player_by_team_and_number(run: Run, ledger: Path) -> None:
    assert run("why", "g1", "Ash 1").out == run("why", "g1", "--team", "ash", "--number", 1).out
    weigh = ["record", "weigh", "--game", "9/5 ash", "--team", "Ash Trees", "--by", "we"]
    ran = run(*weigh, "--player", "ash 1", "--value", "OK", "--at", "8:41")
    assert ran.status == 0, ran.err
    assert ran.err == (
        "'9/5 ash': the game g1.\n'Ash Trees': the team ash.\n'ash 1': the player a1.\n"
    )
    assert "Sat, Sep 5, 2026, 8:41 AM CDT" in " ".join(ran.out.split())
    event = last(ledger)
    assert (event.player, event.team, event.data["value"]) == ("a1", "ash", "ok")
    ran = run(*weigh, "--player", "ash 9", "--value", "ok")
    assert ran.err.endswith(
        "ash has no number 9 at the kickoff of g1\n"
        "For a player who is not on the roster, type the number and the name.\n"
    )
    erase = ["erase", "ash 2", "--by", "rg", "--reason", "asked by a parent", "--yes"]
    assert "'ash 2': the player a2." in run(*erase).err


@pytest.mark.parametrize(
    ("typed", "at"),
    [("1:15", "2026-09-13T18:15"), ("9/14/2026 8 am", "2026-09-14T13:00")],
)
def test_a_clock_is_of_the_games_day(run: Run, ledger: Path, typed: str, at: str) -> None:
    there = ["record", "at_scale", "--game", "g2", "--team", "ash", "--by", "wa", "--at", typed]
    assert run(*there).status == 0
    assert last(ledger).at == f"{at}:00.000Z"


def test_a_time_that_is_not_typed_in_full_is_said_in_full(run: Run, ledger: Path) -> None:
    ran = run("eligibility", "g2", "--as-of", "1:15")
    assert ran.err.startswith("--as-of: Sun, Sep 13, 2026, 1:15 PM CDT.\n")
    assert "--as-of:" not in run("eligibility", "g2", "--as-of", "2026-09-13 13:15").err
    ran = run("eligibility", "g2", "--as-of", "9/14/2026 1:15")
    assert ran.err.endswith('Enter "1:15 am" or "1:15 pm".\n')
    moved = ["record", "game_change", "--game", "g3", "--by", "rg", "--reason", "fog", "--kickoff"]
    ran = run(*moved, "9/20/2026 1:30")
    assert ran.err == (
        '--kickoff: \'9/20/2026 1:30\' may be before or after noon\nType "1:30 am" or "1:30 pm".\n'
    )
    assert "Game moved: Sun, Sep 20, 2026, 1:30 PM CDT" in run(*moved, "9/20/2026 1:30 pm").out


@pytest.mark.parametrize("typed", ["9/1", "9/1/2026", "2026-09-01", "noon"])
def test_a_time_that_cannot_be_read_says_how_people_type_one(
    run: Run, ledger: Path, typed: str
) -> None:
    ran = run("record", "trained", "--value", "wa", "--by", "rg", "--at", typed)
    assert (ran.status, ran.out) == (2, "")
    right = 'a time such as 8:45, "9/5/2026 8:45 am" or 2026-09-05 08:45'
    assert f"at: found '{typed}'; expected {right}\n" in ran.err


@pytest.mark.parametrize(("typed", "kickoff"), [("2:00", "19:00"), ("9:15 am", "14:15")])
def test_a_new_kickoff_without_a_day_stays_on_the_games_day(
    run: Run, ledger: Path, typed: str, kickoff: str
) -> None:
    moved = ["record", "game_change", "--game", "g2", "--by", "rg", "--reason", "fog"]
    assert run(*moved, "--kickoff", typed).status == 0
    assert last(ledger).data["kickoff"] == f"2026-09-13T{kickoff}:00.000Z"


def test_an_official_by_name(run: Run, ledger: Path) -> None:
    trained = ["record", "trained", "--at", "9/1/2026 7 pm"]
    ran = run(*trained, "--value", "ana thistlewood", "--by", "Kit Underbough")
    assert (ran.status, last(ledger).data["value"], last(ledger).by) == (0, "wa", "rg")
    assert "'ana thistlewood': the official wa (Ana Thistlewood).\n" in ran.err
    assert f"--target {last(ledger).id} --by rg" in ran.out
    assert (
        "value: found 'Nobody Known'" in run(*trained, "--value", "Nobody Known", "--by", "rg").err
    )


def test_words_in_any_case(run: Run, ledger: Path) -> None:
    opened = ["case", "open", "c1", "--reason", "Roster", "--by", "we", "--player", "ash 1"]
    assert run(*opened).status == 0
    assert (last(ledger).player, last(ledger).team) == ("a1", "ash")
    assert run("case", "refer", "c1", "--to", "Division President", "--by", "we").status == 0
    assert last(ledger).data["to"] == "division_president"


def test_roles_and_dates_in_any_spelling(run: Run, ledger: Path) -> None:
    assert run("people", "--role", "Weighmaster").out == run("people", "--role", "weighmaster").out
    found = run("findings", "--date", "9/13/2026", "--for", "Site Official")
    assert (found.status, found.err) == (0, "")
    assert run("ready", "--date", "Sep 13, 2026").out == run("ready", "--week", 2).out


def test_a_day_file_stays_strict_and_says_what_a_spreadsheet_did(
    run: Run, folder: Folder, tmp_path: Path
) -> None:
    line = says("close", game="g1", team="ash", at="9/5/2026 08:41")
    ran = run("load", folder(day=day(line)), "--store", tmp_path / "new.weighbook")
    assert ran.status == 2
    assert "at: found '9/5/2026 08:41'; expected a time such as 2026-09-05 08:41:22" in ran.err
    assert "A spreadsheet program rewrote this time: set the column's format to text" in ran.err


@pytest.mark.parametrize(("typed", "game"), [("ash 1", "g1"), ("fir 1", "g3"), ("oak 1", "GAME")])
def test_a_player_without_a_game(run: Run, ledger: Path, typed: str, game: str) -> None:
    ran = run("why", typed)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == (
        f"'{typed}' is no game\nType the game too, and first: weighbook why {game} \"{typed}\"\n"
    )


def test_an_official_by_full_name(run: Run, ledger: Path, tmp_path: Path) -> None:
    """Wherever an official acts or is named, as in `record`."""
    secret = tmp_path / "secret.txt"
    secret.write_text("invented words\n")
    words = ("--by-passphrase-file", secret, "--passphrase-file", secret)
    enrolled = run("enroll", "Ivo Larkspur", "--by", "kit underbough", *words)
    assert enrolled.status == 0, enrolled.err
    assert "'Ivo Larkspur': the official we (Ivo Larkspur).\n" in enrolled.err
    assert "'kit underbough': the official rg (Kit Underbough).\n" in enrolled.err
    assert "we has a key" in enrolled.out
    for kind in ("weigh", "list"):
        given = {"weigh": ("--value", "over"), "list": ("--reason", "over")}[kind]
        about = ("--game", "g1", "--team", "ash", "--number", "1", "--by", "Ivo Larkspur")
        assert run("record", kind, *about, *given).status == 0
    listed = run("sign", "g1", "ash", "--by", "Ivo Larkspur", "--passphrase-file", secret)
    assert "'Ivo Larkspur': the official we (Ivo Larkspur).\n" in listed.err
    despite = listed.err.rpartition("--despite ")[2].strip()
    signed = run("sign", "g1", "ash", "--by", "Ivo Larkspur", "--passphrase-file", secret,
                 "--despite", despite)  # fmt: skip
    assert "by we.\n  To print its receipt: weighbook print receipt " in signed.out, signed.err
    assert last(ledger).by == "we"
    assert run("people", "Ivo Larkspur").out.startswith("we\n")
    ended = run("revoke", "we", "--by", "Kit Underbough", "--reason", "lost")
    assert "The key of we no longer counts" in ended.out
    assert "no official" in run("people", "Ivo Larkspurr").err


@pytest.mark.parametrize("typed", ["Underbough", "kit", "KIT under", "Rg"])
def test_an_official_by_a_part_that_fits_one(run: Run, ledger: Path, typed: str) -> None:
    close = ["record", "close", "--game", "g1", "--team", "ash", "--despite", "undecided"]
    ran = run(*close, "--by", typed, "--despite", "not_accounted_for")
    assert ran.err.startswith(f"'{typed}': the official rg (Kit Underbough).\n")
    trained = run("record", "trained", "--value", typed, "--by", "we")
    assert (trained.status, last(ledger).data["value"]) == (0, "rg")
    assert run("people", typed).out == run("people", "rg").out


PEOPLE = (
    "official,name,role,team\nash-wm1,Ana Thistlewood,weighmaster,ash\n"
    "ash-wm10,Ivo Thistledown,weighmaster,ash\nrg,Kit Underbough,registrar,\n"
)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (
            "thistle",
            "'thistle' may be the official ash-wm1 (Ana Thistlewood), ash-wm10 (Ivo Thistledown)\n",
        ),
        ("wm", "'wm' may be the official ash-wm1 (Ana Thistlewood), ash-wm10 (Ivo Thistledown)\n"),
        ("wm2", "no official wm2 in this ledger"),
        ("ana under", "no official ana under in this ledger"),
        ("-", "no official - in this ledger"),
    ],
)
def test_an_official_who_may_be_several_or_nobody_is_not_guessed(
    run: Run, folder: Folder, tmp_path: Path, typed: str, told: str
) -> None:
    load(tmp_path / "season.weighbook", folder(officials=PEOPLE))
    for command in (["enroll", typed, "--by", "rg"], ["sign", "g1", "ash", f"--by={typed}"]):
        ran = run(*command)
        assert (ran.status, ran.out) == (2, "")
        assert told in ran.err


def test_a_number_in_an_id_is_typed_whole(run: Run, folder: Folder, tmp_path: Path) -> None:
    """ "wm1" is not the tenth, and with the first gone it would be taken for it."""
    load(tmp_path / "season.weighbook", folder(officials=PEOPLE))
    assert "'wm1': the official ash-wm1 (Ana Thistlewood)." in run("people", "wm1").err
    without = PEOPLE.replace("ash-wm1,Ana Thistlewood,weighmaster,ash\n", "")
    load(tmp_path / "other.weighbook", folder(officials=without))
    ran = run("people", "wm1", "--store", "other.weighbook")
    assert (ran.status, "no official wm1 in this ledger" in ran.err) == (2, True)
