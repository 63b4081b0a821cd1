"""A new front end, in a copy of the program: one module, and its place in the import contract."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from shutil import copy, copytree

import pytest

from ledger import resources
from tests.tiny import day, load, says, write_folder

BOOTH = '''
"""Entries as lines of JSON, for a device at the scale: one line in, one line out."""

import json
import sys
from pathlib import Path

from ledger.actions.asking import Acting, AskAboutTextsError
from ledger.actions.entries import record, take_back
from ledger.derive.answers import ask
from ledger.errors import LedgerError
from ledger.store.opening import open_store


def main() -> None:
    store = open_store(Path(sys.argv[1]))
    for line in sys.stdin:
        print(json.dumps(answer(store, json.loads(line))))


def answer(store, asked):
    try:
        match asked["do"]:
            case "enter":
                return {"done": record(store, asked["entries"]).event_ids}
            case "take back":
                done = take_back(store, asked["ids"], by=asked["by"], reason="wrong child")
                return {"done": done.event_ids}
            case "who carries":
                rows = ask(store, "eligibility", game=asked["game"]).answer.dicts()
                return {row["player"]: row["may_carry"] for row in rows}
    except AskAboutTextsError as question:
        return {"ask": len(question.questions)}
    except LedgerError as error:
        return {"no": error.message}


if __name__ == "__main__":
    main()
'''
LINT = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports())"
IMPORTS = "commands | frames"
WEIGHED = {"kind": "weigh", "by": "we", "game": "g1", "team": "ash", "number": "2"}
LISTED = {"kind": "list", "by": "we", "game": "g1", "team": "ash", "number": "2"}


@pytest.fixture
def program(tmp_path: Path) -> Path:
    """The folder of a program with a booth."""
    for folder in (resources.PACKAGE, resources.folder("sql")):
        copytree(folder, tmp_path / folder.name)
    (tmp_path / "ledger" / "booth.py").write_text(BOOTH, "utf-8")
    contract = resources.PACKAGE.parent / "pyproject.toml"
    text = contract.read_text("utf-8")
    assert text.count(f'"{IMPORTS}"') == 1
    copy(contract, tmp_path)
    (tmp_path / "pyproject.toml").write_text(
        text.replace(f'"{IMPORTS}"', f'"{IMPORTS} | booth"'), "utf-8"
    )
    return tmp_path


def run(program: Path, *words: str, stdin: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *words],
        cwd=program,
        env={**os.environ, "PYTHONPATH": str(program)},
        input=stdin,
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_booth_enters_takes_back_and_asks(program: Path) -> None:
    path = program / "season.weighbook"
    load(path, write_folder(program / "season", day=day(says("close", game="g2", team="ash"))))
    act = [WEIGHED | {"value": "over"}, LISTED | {"reason": "over"}]
    asked = [
        {"do": "enter", "entries": act},
        {"do": "who carries", "game": "g1"},
        {"do": "enter", "entries": [LISTED | {"reason": "other", "note": "he is 104 lb"}]},
        {"do": "enter", "entries": [WEIGHED | {"value": "ovre"}]},
    ]
    first = run(program, "-m", "ledger.booth", str(path), stdin=json.dumps(asked[0]))
    assert first.returncode == 0, first.stderr
    ids = json.loads(first.stdout)["done"]
    assert len(ids) == 2
    asked.insert(2, {"do": "take back", "ids": ids, "by": "we"})
    ran = run(program, "-m", "ledger.booth", str(path), stdin="\n".join(map(json.dumps, asked[1:])))
    carries, back, question, wrong = map(json.loads, ran.stdout.splitlines())
    assert carries["a2"] == "no"
    assert len(back["done"]) == 2
    assert question == {"ask": 1}
    assert "found 'ovre'; expected one of ok, over or no_scale" in wrong["no"]


def test_the_import_contract_holds_with_it(program: Path) -> None:
    linted = run(program, "-c", LINT)
    assert linted.returncode == 0, linted.stdout[-800:] + linted.stderr[-800:]
