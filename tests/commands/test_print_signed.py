"""weighbook print --sign-with: with the passphrase from a file, and what goes wrong before."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from ledger.commands import passphrase
from ledger.papers.press import heads, many
from ledger.papers.sheets import weeks
from tests.commands.conftest import Run
from tests.papers.certificates import LEAGUE, PASSPHRASE, as_pkcs12, issue, make_root
from tests.papers.press.test_pades import validated

pytestmark = pytest.mark.usefixtures("papers_set_once")
ROOT = make_root()


@pytest.fixture
def files(tmp_path: Path) -> Path:
    """The test's folder, with a certificate and its passphrase in it."""
    (tmp_path / "league.p12").write_bytes(as_pkcs12(issue(ROOT, LEAGUE)))
    (tmp_path / "passphrase.txt").write_text(PASSPHRASE)
    return tmp_path


SIGN = ("--sign-with", "league.p12", "--passphrase-file", "passphrase.txt")


def test_a_paper_is_signed(
    run: Run, sample_ledger: Path, files: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(heads, "now_utc", lambda: "2026-09-05T15:00:00.000Z")
    words = ("print", "card", "--store", sample_ledger)
    ran = run(*words, "--to", "a.pdf", *SIGN)
    assert ran == (0, f"Wrote a.pdf, signed with the certificate of {LEAGUE}.\n", "")
    assert validated((files / "a.pdf").read_bytes(), ROOT).bottom_line
    assert run(*words, "--to", "plain.pdf").status == 0
    assert (files / "a.pdf").read_bytes().startswith((files / "plain.pdf").read_bytes())
    audited = run("audit", "--store", sample_ledger, "--since", "a.pdf")
    assert audited.status == 0
    assert "anchored: yes" in audited.out
    checked = run("check", "a.pdf", "--store", sample_ledger)
    assert (checked.status, checked.err) == (0, "")
    assert f"The added signature is by {LEAGUE}" in " ".join(checked.out.split())


def test_the_passphrase_is_asked_for(
    run: Run, sample_ledger: Path, files: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []

    def ask(label: str, file: Path | None) -> str:
        asked.append((label, file))
        return PASSPHRASE

    monkeypatch.setattr("ledger.commands.print_shared.ask_passphrase", ask)
    words = ("print", "card", "--store", sample_ledger, "--to", "a.pdf")
    assert run(*words, "--sign-with", "league.p12").status == 0
    assert asked == [("Passphrase for league.p12", None)]
    assert run(*words).status == 0
    assert len(asked) == 1
    monkeypatch.setattr("ledger.commands.print_shared.ask_passphrase", passphrase.ask_passphrase)
    told = run(*words, "--sign-with", "league.p12")
    assert "cannot ask for the passphrase here" in told.err


def test_nothing_is_written_where_it_cannot_be_signed(
    run: Run, sample_ledger: Path, files: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ("print", "card", "--store", sample_ledger, "--to", "a.pdf")
    (files / "passphrase.txt").write_text("another")
    (files / "league.pem").write_text("-----BEGIN CERTIFICATE-----")
    wrong = run(*words, *SIGN)
    no_file = run(*words, "--sign-with", "league.pem")
    alone = run(*words, *SIGN[2:])
    monkeypatch.setitem(sys.modules, "pyhanko.sign", None)
    nothing = run(*words, *SIGN)
    told = {
        "the certificate's file does not open with this passphrase": wrong,
        "the certificate's file is not PKCS #12": no_file,
        "--passphrase-file without --sign-with": alone,
        "signing with a certificate needs pyHanko, which is not installed": nothing,
    }
    for message, ran in told.items():
        assert (ran.status, ran.out, ran.err.splitlines()[0]) == (2, "", message)
        assert ran.err.count("\n") == 2  # and what to do
    assert not (files / "a.pdf").exists()


def test_a_saturday_is_signed(
    run: Run, sample_ledger: Path, files: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Only one paper of it is really made: a Saturday of papers takes its time."""
    monkeypatch.setattr(many, "cores", lambda: 1)
    real = weeks.lay_week
    monkeypatch.setattr(weeks, "lay_week", lambda *given: list(real(*given))[:1])
    words = ("print", "all", "--week", "3", "--to", "saturday", "--store", sample_ledger)
    ran = run(*words, *SIGN)
    assert ran.status == 0
    assert ran.out.endswith(f" to saturday, signed with the certificate of {LEAGUE}.\n")
    (paper,) = (files / "saturday").iterdir()
    assert validated(paper.read_bytes(), ROOT).bottom_line
