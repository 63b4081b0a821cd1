"""The commands of README, run in order on a terminal of their own, as a newcomer would."""

from __future__ import annotations

import json
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from ledger.commands import weighbook

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
CONSOLE = re.compile(r"```console\n(.*?)```", re.DOTALL)


def commands(text: str = README) -> list[str]:
    """Every line of a console block that begins with `$`, set-up aside."""
    blocks = "".join(CONSOLE.findall(text))
    lines = [line.removeprefix("$ ") for line in blocks.splitlines() if line.startswith("$ ")]
    return [line for line in lines if not line.startswith("make ")]


@pytest.mark.long
def test_every_command_of_the_readme_runs(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "sample_season", tmp_path / "sample_season")
    before, stories = README.split("## From a question to a decision")
    lines = commands(before + stories.partition("\n## ")[2])  # tests/test_stories.py runs the rest
    assert len(lines) > 10
    program = [sys.executable, "-m", "tests.on_a_terminal", str(tmp_path)]
    ran = subprocess.run(program, input="\n".join(lines), capture_output=True, text=True, cwd=ROOT)
    assert ran.returncode == 0, ran.stderr
    outcomes = json.loads(ran.stdout)
    for line, (status, shown) in zip(lines, outcomes, strict=False):
        assert status == 0, f"{line}\n{shown}"
    assert len(outcomes) == len(lines)


def test_the_slip_of_the_readme_is_seen_and_taken_back(sample_copy: Path) -> None:
    """It would put a child back who is listed as injured, in a season that is closed."""

    def run(line: str) -> str:
        given = shlex.split(line.removeprefix("weighbook "))
        ran = CliRunner().invoke(weighbook, ["--store", str(sample_copy), *given])
        assert ran.exit_code == 0, ran.output
        return " ".join(ran.output.split())

    findings = "weighbook findings --game acorn-7b --team quokkas"
    before = run(findings)
    said, undone = (run(line) for line in commands() if line.startswith("weighbook record "))
    assert "acorn-7b, quokkas 21 (k502). Weighed: not over the carrier limit." in said
    assert "injured_but_weighed, stated_after_close" in said
    assert "Taken back: acorn-7b, quokkas 21 (k502)." in undone
    assert run(findings) == before


def test_the_beginning_states_the_job() -> None:
    beginning = README.partition("\n## ")[0]
    assert "weigh-ins" in beginning
    assert "disqualifies nobody" in beginning


def test_the_python_of_the_readme_runs(
    sample_ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (code,) = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
    monkeypatch.chdir(sample_ledger.parent)
    exec(code.replace("season.weighbook", sample_ledger.name), {})


@pytest.mark.long
def test_every_command_of_the_sample_seasons_readme_runs(
    sample_ledger: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("WEIGHBOOK_STORE", str(sample_ledger))
    text = (ROOT / "sample_season" / "README.md").read_text(encoding="utf-8")
    lines = sorted(set(re.findall(r"^ +weighbook (.+)$", text, re.MULTILINE)))
    assert len(lines) > 20
    for line in lines:
        if not line.startswith("load "):
            weighbook.main(shlex.split(line), standalone_mode=False)
