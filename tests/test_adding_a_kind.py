"""A new kind of statement, in a copy of the program: a class and a row; then its words."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from shutil import copytree

import pytest

from ledger import resources
from tests.tiny import day, says, write_folder

CLASS = '''
class Flag(InGame):
    """A flag stands at the field; its color is `value`."""

    kind = "flag"
    value: Literal["green", "red"]

'''
ROW = '    Kind("flag", about="game", in_packet=True),'
WORDS = '    "flag": "A flag was put up",'
BY_ITS_NAME, IN_WORDS = "g1. Flag: red. ", "g1. A flag was put up. "


def insert(path: Path, before: str, text: str) -> None:
    """Put the text before the one line that begins like this."""
    source = path.read_text(encoding="utf-8")
    (place,) = re.finditer(f"^{re.escape(before)}", source, re.MULTILINE)
    path.write_text(source[: place.start()] + text + "\n" + source[place.start() :], "utf-8")


@pytest.fixture
def program(tmp_path: Path) -> Path:
    """The folder of a program that knows the new kind."""
    for folder in (resources.PACKAGE, resources.folder("sql")):
        copytree(folder, tmp_path / folder.name)
    record = tmp_path / "ledger" / "record"
    insert(record / "statements.py", "class Withdraw(", CLASS)
    insert(record / "kinds.py", '    Kind("withdraw"', ROW)
    return tmp_path


def run(program: Path, words: Sequence[str], store: Path) -> str:
    """What the copy prints for this command."""
    ran = subprocess.run(
        [sys.executable, "-m", "ledger.commands", *words, "--store", str(store)],
        cwd=program,
        env={**os.environ, "PYTHONPATH": str(program)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return " ".join(ran.stdout.split())


def test_a_class_and_a_row_then_its_words(program: Path) -> None:
    store = program / "season.weighbook"
    line = says("flag", game="g1", value="green", by="so")
    folder = write_folder(program / "season", day=day(line))
    run(program, ["load", str(folder)], store)
    given = ["--game", "g1", "--value", "red", "--by", "so"]
    record = ["record", "flag", *given, "--at"]
    assert BY_ITS_NAME in run(program, [*record, "2026-09-05 09:00"], store)
    insert(program / "ledger" / "say" / "stated.py", '    "stripe": ', WORDS)
    assert IN_WORDS in run(program, [*record, "2026-09-05 09:05"], store)
    assert "intact: yes" in run(program, ["audit"], store)
