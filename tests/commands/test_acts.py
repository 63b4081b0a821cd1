"""enroll, revoke, erase, redact, record season-close: who may, and what is signed with a key."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.audit.audit import audit_file
from tests.commands.conftest import Run
from tests.tiny import day, events_in, load, says

SeasonFolder = Callable[..., Path]
WHO = "Only the registrar, an association president or a division president may"


@pytest.fixture
def ledger(folder: SeasonFolder, tmp_path: Path) -> Path:
    """The tiny season; `secret` and `other` are files with a passphrase."""
    path = tmp_path / "tiny.weighbook"
    load(path, folder())
    (tmp_path / "secret").write_text("a sunny morning\n")
    (tmp_path / "other").write_text("a rainy evening\n")
    return path


@pytest.mark.parametrize(
    ("words", "verb"),
    [
        ("erase a1 --reason asked --by wa", "erase"),
        ("redact 00000000 secret --reason asked --by wa", "redact"),
        ("retention --apply --by wa", "erase"),
        ("enroll we --by wa", "make a key for we"),
        ("record season-close --by wa", "close the season"),
    ],
)
def test_who_may_not_is_told_before_anything_is_asked(
    run: Run, ledger: Path, words: str, verb: str
) -> None:
    """Nobody is there to answer: a question would end otherwise."""
    before = ledger.read_bytes()
    ran = run(*words.split(), "--store", ledger)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == (
        f"{WHO} {verb}. wa is weighmaster of ash.\nName one of them with --by: ap, dp, rg.\n"
    )
    assert ledger.read_bytes() == before


def test_a_day_file_closes_the_season_by_anybody(folder: SeasonFolder, tmp_path: Path) -> None:
    """A fact is never refused."""
    path = tmp_path / "closed.weighbook"
    load(path, folder(day=day(says("season_close", by="wa"))))
    assert events_in(path)[-1].kind == "season_close"
    assert not [note for note in audit_file(path).notes if "season_close" in note]


def test_closing_the_season_is_signed_where_there_is_a_key(run: Run, ledger: Path) -> None:
    words = ["--store", ledger]
    refused = run("record", "season-close", "--by", "rg", *words)
    assert refused.status == 2  # games are open: a script has to name what it goes on despite
    words += ["--despite", refused.err.rpartition("--despite ")[2].strip()]
    told = run("record", "season-close", "--by", "rg", *words).out
    assert "Not signed: rg had no key yet. Anyone could have typed --by rg." in told
    assert run("enroll", "rg", "--by", "ap", "--passphrase-file", "secret", *words[:2]).status == 0
    told = run("record", "season-close", "--by", "rg", "--passphrase-file", "secret", *words).out
    assert "Signed with the key of rg." in told
    assert events_in(ledger)[-1].data["how"] == "key"
    report = audit_file(ledger)
    assert report.ok
    assert "1 signed act" in report.steps[3].looked_at


def test_erasing_asks_for_the_key_and_the_wrong_passphrase_erases_nothing(
    run: Run, ledger: Path
) -> None:
    words = ["--store", ledger]
    assert run("enroll", "rg", "--by", "dp", "--passphrase-file", "secret", *words).status == 0
    before = events_in(ledger)
    erasing = ["erase", "a1", "--reason", "asked", "--by", "rg", "--yes", *words]
    assert run(*erasing).err.startswith("cannot ask for the passphrase here\n")
    assert "passphrase does not open" in run(*erasing, "--passphrase-file", "other").err
    assert events_in(ledger) == before
    ran = run(*erasing, "--passphrase-file", "secret")
    assert ran.status == 0, ran.err
    assert ran.out.endswith("Signed with the key of rg.\n")


def test_a_key_is_replaced_by_its_holder_with_the_old_passphrase(run: Run, ledger: Path) -> None:
    words = ["--store", ledger]
    assert run("enroll", "wa", "--by", "rg", "--passphrase-file", "secret", *words).status == 0
    again = ["enroll", "wa", "--replace", "--passphrase-file", "other", *words]
    assert run(*again, "--by-passphrase-file", "other").status == 2
    ran = run(*again, "--by-passphrase-file", "secret")
    assert ran.status == 0, ran.err
    assert "Signed with the key of wa." in ran.out
    assert audit_file(ledger).ok
    ran = run("revoke", "wa", "--reason", "lost", "--passphrase-file", "other", *words)
    assert ran.out.endswith("Signed with the key of wa.\n")
    assert audit_file(ledger).ok


def test_without_a_key_signing_says_both_ways(run: Run, ledger: Path) -> None:
    ran = run("sign", "g1", "ash", "--by", "wa", "--store", ledger)
    assert ran.status == 2
    assert ran.err == (
        "wa has no key in force\n"
        "Sign on paper, and keep the scan: --ink SCAN.pdf. Or have the registrar make a key: "
        "weighbook enroll wa --by REGISTRAR. If wa was appointed for this game only, add --game "
        "g1, and name in --by the official who appointed wa.\n"
    )


def test_a_key_for_a_game_is_made_at_the_table(run: Run, ledger: Path) -> None:
    words = ["--store", ledger]
    appointing = "record appoint --value x --name Xe --to weighmaster --team ash --game g1 --by so"
    assert run(*appointing.split(), *words).status == 0
    making = ["enroll", "x", "--game", "g1", "--passphrase-file", "secret", *words]
    assert run(*making, "--by", "we").err.startswith(f"{WHO.removesuffix(' may')}, or the official")
    ran = run(*making, "--by", "so")
    assert "x has a key for g1 only, recorded as office:" in ran.out
    signing = ["sign", "g1", "ash", "--by", "x", "--passphrase-file", "secret", *words]
    signing += ["--despite", "unaccounted"]
    assert run(*signing).status == 0
    assert "signed with a key (vouched for by so, for this game only)" in run(*signing).out
    report = audit_file(ledger)
    assert report.ok
    assert not [note for note in report.notes if "key" in note]
