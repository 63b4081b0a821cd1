"""weighbook load: what it says, what it makes, and what it leaves alone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.audit.audit import audit_file
from tests.commands.conftest import Run
from tests.tiny import day, events_in, says

Folder = Callable[..., Path]
CLOSE = says("close", game="g1", team="ash")


def files(path: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in path.glob("*weighbook*")}


def test_the_first_load_makes_the_ledger_and_the_next_adds(
    run: Run, folder: Folder, tmp_path: Path
) -> None:
    season = folder(day=day(CLOSE))
    ran = run("load", season)
    assert (ran.status, ran.err) == (0, "")
    assert ran.out == (
        "Added 19 setup rows and 1 entry to season.weighbook (the folder has 19 rows and 1 line).\n"
    )
    before = files(tmp_path)
    assert list(before) == ["season.weighbook"]
    ran = run("load", season)
    held = f"All of {season} is already in season.weighbook (19 rows and 1 line)"
    assert ran == (0, f"{held}. Nothing was added.\n", "")
    assert files(tmp_path) == before
    ran = run("load", folder(day=day(CLOSE, CLOSE)))
    assert ran.out.startswith("Added 0 setup rows and 1 entry to season.weighbook")
    assert audit_file(tmp_path / "season.weighbook").ok


@pytest.mark.parametrize("what", ["reading", "acceptance"])
def test_a_folder_with_a_fault_makes_nothing(
    run: Run, folder: Folder, tmp_path: Path, what: str
) -> None:
    bad = CLOSE | ({"at": "noon"} if what == "reading" else {"team": "oak"})
    ran = run("load", folder(day=day(CLOSE, bad)))
    assert (ran.status, ran.out) == (2, "")
    first, fault, hint = ran.err.splitlines()
    assert first == "1 fault; nothing was written:"
    assert fault.startswith("days/01.csv, line 3, ")
    assert hint == "Fix these, then run the same command again."


def test_a_changed_line_is_refused_and_the_ledger_stays(
    run: Run, folder: Folder, tmp_path: Path
) -> None:
    run("load", folder(day=day(CLOSE)))
    before = files(tmp_path)
    ran = run("load", folder(day=day(CLOSE | {"team": "elm"}, CLOSE)))
    assert ran.status == 2
    assert "found 'elm', but 'ash' was loaded" in ran.err
    assert "To take it back: weighbook record withdraw --target office:" in ran.err
    assert files(tmp_path) == before


def test_a_folder_that_is_none(run: Run, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    ran = run("load", "empty")
    assert ran.status == 2
    assert ran.err == (
        "empty: this folder has no league.toml and no tables\n"
        "Give a season folder, such as sample_season.\n"
    )
    (tmp_path / "empty" / "games.csv").touch()
    ran = run("load", "empty")
    assert "league.toml: found no such file; expected the league's rules" in ran.err
    assert (
        "players.csv: found no such file; expected the table; it may hold just its header line"
        in ran.err
    )
    assert files(tmp_path) == {}


def test_files_that_were_not_read_are_named(run: Run, folder: Folder) -> None:
    ran = run("load", folder(days={"1.csv": day(CLOSE), "1.csv.bak": day(CLOSE)}))
    assert (ran.status, ran.err) == (0, "Not read: days/1.csv.bak.\n")


def test_another_chain(run: Run, folder: Folder, tmp_path: Path) -> None:
    run("load", folder(day=day(CLOSE)))
    assert run("load", folder(day=day(CLOSE, CLOSE)), "--chain", "tent").status == 0
    assert [event.id for event in events_in(tmp_path / "season.weighbook")][-2:] == [
        "tent:1",
        "tent:2",
    ]


@pytest.mark.parametrize("chain", ["a b", "", "office:2", "unlisted-x", "x" * 65])
def test_a_chain_is_named_like_an_id(run: Run, folder: Folder, tmp_path: Path, chain: str) -> None:
    ran = run("load", folder(), "--chain", chain)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith(f"--chain: found '{chain}'\nEnter an id: 1 to 64 of")
    assert files(tmp_path) == {}


def test_where_no_ledger_can_be_made(run: Run, folder: Folder) -> None:
    season = folder()
    for where in ("nowhere/x.weighbook", "x" * 300):
        ran = run("load", season, "--store", where)
        assert ran.status == 3
        assert ran.err.count("\n") == 2
