"""The command line as a whole: help, exit statuses, where a ledger is looked for, what it loads."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from ledger.commands import COMMANDS, weighbook
from ledger.errors import LedgerError
from ledger.record.statements import KINDS
from tests.commands.conftest import Run

ROOT = Path(__file__).resolve().parents[2]
HEAVY = {"pydantic", "sqlmodel", "sqlalchemy", "duckdb", "pandas", "weasyprint", "cryptography",
         "pyhanko"}  # fmt: skip


def commands(command: click.Command = weighbook, *path: str) -> Iterator[tuple[str, ...]]:
    """The path of every command, groups too."""
    yield path
    if isinstance(command, click.Group):
        context = click.Context(command)
        for name in command.list_commands(context):
            below = command.get_command(context, name)
            assert below is not None
            yield from commands(below, *path, name)


EVERY = list(commands())


def leaf(path: tuple[str, ...]) -> click.Command:
    command: click.Command = weighbook
    for name in path:
        assert isinstance(command, click.Group)
        found = command.get_command(click.Context(command), name)
        assert found is not None
        command = found
    return command


@pytest.mark.parametrize("path", EVERY, ids=" ".join)
def test_every_help_fits_80_columns(run: Run, path: tuple[str, ...]) -> None:
    ran = run(*path, "--help")
    assert (ran.status, ran.err) == (0, "")
    assert ran.out.startswith(f"Usage: {' '.join(['weighbook', *path])}")
    assert [line for line in ran.out.splitlines() if len(line) > 80] == []
    assert "\x1b" not in ran.out


@pytest.mark.parametrize("path", EVERY, ids=" ".join)
def test_every_option_and_command_says_what_it_is(path: tuple[str, ...]) -> None:
    command = leaf(path)
    assert command.help
    assert not path or command.get_short_help_str()
    for parameter in command.params:
        assert isinstance(parameter, click.Argument) or getattr(parameter, "help", None), parameter


def test_there_is_a_command_for_every_kind_of_statement(run: Run) -> None:
    assert [path[1] for path in EVERY if path[:1] == ("record",) and path[1:]] == list(KINDS)
    help_text = run("record", "--help").out
    assert all(f"  {kind} " in help_text for kind in KINDS)


def test_commands_are_listed_in_the_order_of_a_season(run: Run) -> None:
    listed, _, last = run("--help").out.partition("Commands:\n")[2].partition("\n\n")
    assert [line.split()[0] for line in listed.splitlines()] == list(COMMANDS)
    assert last.strip() == "Start with: weighbook begin practice --practice"


def test_no_command_is_help_and_a_wrong_use(run: Run) -> None:
    ran = run()
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("Usage: weighbook [OPTIONS] COMMAND")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["weight"], "No such command 'weight'"),
        (["record", "weight"], "No such command 'weight'"),
        (["record", "weigh", "--game", "g1"], "Missing option"),
        (["book"], "Missing argument 'TEAM'"),
        (["book", "newts", "--format", "xml"], "'xml' is not one of"),
        (["load", "nowhere"], "Directory 'nowhere' does not exist"),
        (["status", "--colour"], "No such option"),
    ],
)
def test_a_wrong_use_is_status_2_on_standard_error(
    run: Run, arguments: list[str], told: str
) -> None:
    ran = run(*arguments)
    assert (ran.status, ran.out) == (2, "")
    assert told in ran.err
    assert "Traceback" not in ran.err


# A command that needs a ledger, with what it needs beside it.
NEEDS: dict[tuple[str, ...], list[str]] = {
    ("status",): [],
    ("eligibility",): ["g1"],
    ("book",): ["ash"],
    ("exposure",): [],
    ("findings",): [],
    ("rules",): [],
    ("forecast",): ["g1"],
    ("why",): ["g1", "a1"],
    ("changes",): ["g1", "--from", "2026-09-05 10:00"],
    ("case", "list"): [],
    ("case", "show"): ["c1"],
    ("case", "close"): ["c1", "--by", "dp"],
    ("audit",): [],
    ("retention",): [],
    ("record", "close"): ["--game", "g1", "--team", "ash", "--by", "we"],
    ("record", "half"): ["--game", "g1", "--half", "1", "--by", "we", "--at", "2026-09-05 10:00"],
    ("print", "list"): ["g1", "ash", "--to", "x.pdf"],
    ("print", "blank-list"): ["ash", "--to", "x.pdf"],
    ("enroll",): ["we", "--by", "rg", "--passphrase-file", "secret"],
    ("revoke",): ["we", "--by", "rg", "--reason", "lost"],
    ("sign",): ["g1", "ash", "--by", "we", "--passphrase-file", "secret"],
    ("redact",): ["0f" * 32, "secret", "--by", "rg", "--reason", "asked"],
    ("erase",): ["a1", "--by", "rg", "--reason", "asked", "--yes"],
    ("prove",): ["office:1", "--to", "x.json"],
}


@pytest.mark.parametrize("path", NEEDS, ids=" ".join)
@pytest.mark.parametrize("where", ["nothing", "folder/nothing", "text", "empty"])
def test_a_wrong_path_is_status_3_and_makes_no_file(
    run: Run, tmp_path: Path, path: tuple[str, ...], where: str
) -> None:
    (tmp_path / "secret").write_text("a sunny morning\n")
    (tmp_path / "text").write_text("no ledger\n" * 500)
    (tmp_path / "empty").write_text("")
    before = {file.name: file.read_bytes() for file in tmp_path.iterdir()}
    ran = run(*path, *NEEDS[path], "--store", where)
    assert (ran.status, ran.out) == (3, "")
    assert ran.err.count("\n") >= 2  # what is wrong, and a hint
    assert {file.name: file.read_bytes() for file in tmp_path.iterdir()} == before


def test_the_errors_of_the_house_have_their_exit_status(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def kinds(error: type[LedgerError]) -> Iterator[type[LedgerError]]:
        yield error
        for below in error.__subclasses__():
            yield from kinds(below)

    found = {error.__name__: error.exit_status for error in kinds(LedgerError)}
    assert {name: found[name] for name in ("InputError", "RuleError", "ReportError")} == {
        "InputError": 2,
        "RuleError": 2,
        "ReportError": 2,
    }
    assert (found["StoreError"], found["IntegrityError"]) == (3, 1)

    def fail() -> None:
        raise LedgerError("What is wrong.", hint="What would be right.")

    monkeypatch.setitem(weighbook.commands, "status", click.Command("status", callback=fail))
    assert run("status") == (2, "", "What is wrong.\nWhat would be right.\n")


def test_a_fault_of_the_program_shows_itself(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken() -> None:
        raise ZeroDivisionError

    monkeypatch.setitem(weighbook.commands, "status", click.Command("status", callback=broken))
    with pytest.raises(ZeroDivisionError):
        run("status")


def test_where_the_ledger_is_looked_for(
    run: Run, sample_ledger: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After the command, before it, in the environment, then season.weighbook; the first wins."""
    assert "season.weighbook: there is no ledger here" in run("status").err
    monkeypatch.setenv("WEIGHBOOK_STORE", "of-the-environment")
    assert "of-the-environment: there is no ledger" in run("status").err
    assert "before: there is no ledger" in run("--store", "before", "status").err
    assert "after: there is no ledger" in run("--store", "before", "status", "--store", "after").err
    monkeypatch.setenv("WEIGHBOOK_STORE", str(sample_ledger))
    shown = run("status")
    assert (shown.status, shown.err) == (0, "")
    assert run("--store", sample_ledger, "status") == shown
    assert run("status", "--store", sample_ledger) == shown
    monkeypatch.delenv("WEIGHBOOK_STORE")
    (tmp_path / "season.weighbook").write_bytes(sample_ledger.read_bytes())
    assert run("status") == shown


def loaded_by(*arguments: object) -> set[str]:
    """The modules that a run of the command has loaded."""
    code = (
        "import sys; from ledger.commands import main\n"
        "try: main()\n"
        "except SystemExit as stop: assert not stop.code, stop.code\n"
        "print('loaded:', *sys.modules)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    return set(ran.stdout.rpartition("loaded:")[2].split())


def test_help_and_status_load_no_more_than_they_need(sample_ledger: Path) -> None:
    assert HEAVY & loaded_by("--help") == set()
    loaded = loaded_by("status", "--store", sample_ledger)
    assert HEAVY & loaded == {"duckdb"}
    assert {one for one in loaded if one.startswith("ledger.commands.")} == {
        "ledger.commands.shared",
        "ledger.commands.status",
        "ledger.commands.typed",
    }


def test_a_question_about_a_game_loads_no_more_than_it_needs(sample_ledger: Path) -> None:
    loaded = loaded_by("eligibility", "acorn-1a", "--format", "json", "--store", sample_ledger)
    assert HEAVY & loaded == {"duckdb"}


def test_an_entry_is_recorded_without_what_reads_a_season_folder(sample_copy: Path) -> None:
    entry = ["--game=acorn-1a", "--team=newts", "--by=newts-wm1"]
    loaded = loaded_by("--store", sample_copy, "record", "close", *entry)
    assert HEAVY & loaded == {"duckdb", "pydantic"}
    folder = {"ledger.record.folder", "ledger.record.tables", "ledger.record.league"}
    assert not loaded & {*folder, "ledger.record.private_words", "ledger.review.packet"}


def test_errors_reach_the_shell() -> None:
    command = [sys.executable, "-m", "ledger.commands", "status", "--store", "nowhere"]
    ran = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stdout) == (3, "")
    assert ran.stderr == (
        "nowhere: there is no ledger here\n"
        "Name the ledger's file with --store, or make one: weighbook load FOLDER.\n"
    )
