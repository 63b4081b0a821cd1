"""The three stories of README, each from the finding to the bundle: what must hold at their end.

The commands are read from README and run in order, each story on a season of its own.
"""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from ledger.commands import weighbook
from ledger.review.evidence.archive import read_bundle
from ledger.review.evidence.check import check_bundle
from ledger.say.bundles import bundle_texts
from tests.papers.pdf_checks import check_pdf
from tests.papers.samples import pages, squeeze
from tests.test_readme import CONSOLE, README

pytestmark = pytest.mark.usefixtures("papers_set_once")
SECTION = README.split("## From a question to a decision")[1].split("\n## ")[0]
STORIES = {re.findall(r"case open (\S+)", block)[0]: block for block in CONSOLE.findall(SECTION)}


class Told:
    """A story as it was told: the command lines in order, and what each one printed."""

    def __init__(self, folder: Path, case: str) -> None:
        self.folder, self.case = folder, case
        self.lines = [line.removeprefix("$ ") for line in STORIES[case].splitlines()]
        self.printed = [self._run(line) for line in self.lines]

    def after(self, begin: str) -> str:
        """What the last command that begins so printed, white space drawn together."""
        found = [
            text
            for line, text in zip(self.lines, self.printed, strict=True)
            if line.startswith(f"weighbook {begin}")
        ]
        return " ".join(found[-1].split())

    def _run(self, line: str) -> str:
        if not line.startswith("weighbook "):
            subprocess.run(["sh", "-c", line], cwd=self.folder, check=True)
            return ""
        ran = CliRunner().invoke(weighbook, shlex.split(line)[1:])
        assert ran.exit_code == 0, (line, ran.output, ran.exception)
        return ran.output


@pytest.fixture
def folder(sample_ledger: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("WEIGHBOOK_STORE", raising=False)
    shutil.copy(sample_ledger, tmp_path / "season.weighbook")
    return tmp_path


def rests_on(why: str) -> str:
    """The part of `why` that names the statements which the answer rests on."""
    return why.split(" Based on ")[1].split(" Also written down ")[0]


def check_packet(told: Told, title: str, ruling: str) -> None:
    """The packet opens, keeps the rules of PDF, and names the case and its ruling in front."""
    path = told.folder / f"{told.case}.pdf"
    check_pdf(path)
    front = pages(path)[0]
    assert title in front
    assert told.case in front
    assert squeeze(ruling) in squeeze(front)


def check_evidence(told: Told) -> None:
    """The bundle holds this packet; both checkers accept it, one of them alone and apart."""
    path = told.folder / f"{told.case}.zip"
    files = read_bundle(path)
    assert files["data/packet.pdf"] == (told.folder / f"{told.case}.pdf").read_bytes()
    checked = check_bundle(files, bundle_texts)
    assert (checked.ok, checked.case, checked.packet) == (True, told.case, True)
    assert told.after("evidence check").endswith("Everything in it fits together.")
    checker = told.folder / "check_bundle.py"
    checker.write_bytes(files["data/check_bundle.py"])
    # -I -S: a plain Python that knows neither this project nor any package.
    command = [sys.executable, "-I", "-S", str(checker), str(path)]
    ran = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", check=False)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.endswith("Everything in it fits together.\n")


def test_the_stories_are_the_three() -> None:
    assert list(STORIES) == ["mix-up", "no-mark", "late-child"]


def test_a_number_mix_up(folder: Path) -> None:
    told = Told(folder, "mix-up")
    assert "not_on_roster dormice 30" in told.after("findings")
    assert "a roster question about acorn-2b dormice 30" in told.after("case open")
    why = told.after("why")
    assert "ruled that the player may play the whole game" in why
    assert "Ruling in case mix-up: the player plays the whole game." in rests_on(why)
    check_packet(told, "Review packet", "Ruled: decided otherwise")
    check_evidence(told)


def test_a_broken_scale_and_a_player_without_a_mark(folder: Path) -> None:
    told = Told(folder, "no-mark")
    assert "carrier_undecided quokkas 14" in told.after("findings")
    without, with_authority = (
        " ".join(text.split())
        for line, text in zip(told.lines, told.printed, strict=True)
        if "case rule" in line
    )
    unchanged = "Plays the whole game, but carrying is not decided; by the book, scale out of use."
    assert f"Before: {unchanged} Now: {unchanged}" in without
    assert with_authority.endswith(
        f"Before: {unchanged} Now: Plays the whole game but does not carry the ball; by a ruling."
    )
    why = told.after("why")
    assert "Ruling in case no-mark: denied; the player does not carry the ball." in rests_on(why)
    assert "upheld" not in rests_on(why)
    check_packet(told, "Review packet", "Ruled: denied")
    check_evidence(told)


def test_a_protest_about_a_late_players_plays(folder: Path) -> None:
    told = Told(folder, "late-child")
    assert "played_first_half quokkas 46" in told.after("findings")
    assert "a protest about acorn-3b quokkas 46" in told.after("case open")
    why = told.after("why")
    assert "ruled that the player may play the second half only" in why
    assert "Ruling in case late-child: upheld;" in rests_on(why)
    check_packet(told, "Protest packet", "Ruled: upheld")
    check_evidence(told)
    exhibits = [
        content
        for path, content in read_bundle(folder / "late-child.zip").items()
        if path.startswith("data/exhibits/")
    ]
    assert exhibits == [(folder / "sheet.txt").read_bytes()]
