"""weighbook prove and weighbook check, as people run them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from ledger.commands import weighbook
from ledger.errors import InputError, LedgerError
from tests.signed_season import GAME, SIGNERS, receipt, season
from tests.tiny import load, write_folder

WHO = "Only the registrar, an association president or a division president"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a ledger, a receipt, and a proof of one game."""
    folder = tmp_path_factory.mktemp("commands")
    with season(folder / "season.weighbook"):
        (folder / "receipt.txt").write_bytes(receipt())
    return folder


def run(made: Path, *words: str) -> Result:
    given = ["--store", str(made / "season.weighbook"), *words]
    return CliRunner().invoke(weighbook, given, catch_exceptions=True)


def test_a_proof_is_checked_without_the_ledger(made: Path, tmp_path: Path) -> None:
    file, own = tmp_path / "game.proof", made / "receipt.txt"
    told = run(made, "prove", "--game", GAME, "--to", str(file), "--receipt", str(own))
    assert told.exit_code == 0, told.output
    assert "no names, no remarks" in told.output
    checked = CliRunner().invoke(weighbook, ["check", str(file), "--receipt", str(own)])
    assert checked.exit_code == 0
    assert "Everything in it fits together." in checked.output
    assert "It continues your receipt" in checked.output
    # A verifier key may be longer than a line: it is there to be copied.
    assert all(len(line) <= 80 or "+" in line for line in checked.output.splitlines())


def test_one_is_one_entry(tmp_path: Path) -> None:
    load(tmp_path / "season.weighbook", write_folder(tmp_path / "season"))
    told = run(tmp_path, "prove", "office:1", "--to", str(tmp_path / "one.proof")).output
    assert ": 1 entry and the keys, " in told


def test_a_single_statement_is_shown(made: Path, tmp_path: Path) -> None:
    file = tmp_path / "one.proof"
    assert run(made, "prove", "office:300", "--to", str(file)).exit_code == 0
    shown = CliRunner().invoke(weighbook, ["check", str(file)]).output
    assert "office:300: weigh; game acorn-1a" in shown
    as_json = CliRunner().invoke(weighbook, ["check", str(file), "--format", "json"])
    assert "office:300" in json.loads(as_json.output)["chains"][0]["events"]


@pytest.mark.parametrize("words", [(), ("office:300", "--game", GAME), ("--game", "nowhere")])
def test_what_cannot_be_asked(made: Path, tmp_path: Path, words: tuple[str, ...]) -> None:
    told = run(made, "prove", *words, "--to", str(tmp_path / "x.proof"))
    assert isinstance(told.exception, InputError)
    assert told.exception.hint
    assert not (tmp_path / "x.proof").exists()


@pytest.mark.parametrize(
    ("words", "told", "hint"),
    [
        (
            ("marmots-wm33",),
            "no official marmots-wm33 in",
            "Did you mean marmots-wm2 or marmots-wm3?",
        ),
        (("marmots-wm3", "--by", "zz"), "no official zz in", "Name an official in officials.csv"),
        ((SIGNERS[0],), f"{SIGNERS[0]} already has a key", "--replace makes a new one"),
        (
            ("dormice-wm2",),
            f"{WHO} may make a key for dormice-wm2. dormice-wm2 is weighmaster of dormice.",
            "Name one of them with --by: registrar, glimmerfen-president,",
        ),
        (
            (SIGNERS[0], "--replace", "--by", "newts-wm1"),
            f"{WHO} may replace the key of {SIGNERS[0]} without its passphrase. newts-wm1 is w",
            "Name one of them with --by",
        ),
    ],
)
def test_nobody_types_a_passphrase_for_nothing(
    made: Path, words: tuple[str, ...], told: str, hint: str
) -> None:
    """Official and key are checked before the passphrase; here there is no terminal to ask on."""
    error = run(made, "enroll", *words).exception
    assert isinstance(error, LedgerError)
    assert error.message.startswith(told)
    assert error.hint.startswith(hint)
    asked = run(made, "enroll", "dormice-wm2", "--by", "registrar").exception
    assert isinstance(asked, InputError)
    assert asked.message == "cannot ask for the passphrase here"


def test_help_fits_and_has_an_example() -> None:
    for name in ("prove", "check"):
        text = CliRunner().invoke(weighbook, [name, "--help"]).output
        assert "Example" in text
        assert f"weighbook {name} two.proof" in text or f"weighbook {name} office:" in text
        assert max(map(len, text.splitlines())) <= 80
