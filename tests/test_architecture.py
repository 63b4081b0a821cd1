"""The house as a whole: size of its files, what must not be in them, and what the README names."""

from __future__ import annotations

import ast
import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from ledger.commands import weighbook

ROOT = Path(__file__).resolve().parents[1]
MOST_LINES, MANY_LINES = 400, 250
MADE = {"__pycache__", ".venv", "out", "dist", "build", "node_modules"}

FOLDERS = ("work", "root", "home")
MACHINE = re.compile(rf"(?<![\w.~#])/({'|'.join(FOLDERS)})/")
REGISTRY = re.compile(r"(pypi|pythonhosted)\.org|npmjs\.|deb\.debian\.")


def texts() -> Iterator[tuple[str, str]]:
    """Every text file of the project, by its path; not what tools have made beside it."""
    for path in sorted(ROOT.rglob("*")):
        inside = path.relative_to(ROOT)
        hidden = [part for part in inside.parts if part.startswith(".") and part != ".ci"]
        if hidden or MADE & set(inside.parts) or not path.is_file():
            continue
        try:
            yield inside.as_posix(), path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue


def test_files_are_small() -> None:
    """About 200 lines, never over 400; those over 250 are named in the test's output."""
    lengths = {
        path.relative_to(ROOT).as_posix(): len(path.read_text(encoding="utf-8").splitlines())
        for path in ROOT.glob("ledger/**/*.py")
    }
    many = {name: length for name, length in lengths.items() if length > MANY_LINES}
    print(f"over {MANY_LINES} lines:", many)
    assert len(lengths) > 50
    assert {name: length for name, length in many.items() if length > MOST_LINES} == {}


def test_every_module_says_what_it_is_for() -> None:
    for path in ROOT.glob("ledger/**/*.py"):
        assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))), path


def test_what_the_rooms_of_answers_and_words_hand_out_is_frozen() -> None:
    """But for the part of a proof while it is put together."""
    thawed = {
        f"{path.relative_to(ROOT / 'ledger').as_posix()}: {node.name}"
        for room in ("derive", "review", "witness", "say")
        for path in (ROOT / "ledger" / room).rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ClassDef)
        for mark in map(ast.unparse, node.decorator_list)
        if mark.startswith("dataclass") and "frozen=True" not in mark
    }
    assert thawed == {"witness/prove.py: _Part"}


def test_no_path_of_a_machine_and_no_registry() -> None:
    found = [
        f"{name}:{number}: {line.strip()[:80]}"
        for name, text in texts()
        for number, line in enumerate(text.splitlines(), 1)
        if MACHINE.search(line) or REGISTRY.search(line)
    ]
    assert found == []


def test_such_a_path_would_be_found() -> None:
    assert all(MACHINE.search(f"open('/{name}/x')") for name in FOLDERS)
    assert all(REGISTRY.search(".".join(host)) for host in [("pypi", "org"), ("npmjs", "com")])
    assert not MACHINE.search("the rest of the work/life of a route")


def mentions() -> list[str]:
    """What README says one can type: `weighbook …` in a code span or at a prompt."""
    text = (ROOT / "README.md").read_text(encoding="utf-8").replace("\\\n", " ")
    spans = re.findall(r"`(weighbook [^`]+)`", text)
    prompts = re.findall(r"^\$ (weighbook .+)$", text, re.MULTILINE)
    return [" ".join(mention.split()) for mention in [*spans, *prompts]]


@pytest.mark.parametrize("mention", mentions())
def test_the_readme_names_commands_and_options_that_exist(mention: str) -> None:
    command: click.Command = weighbook
    words = shlex.split(mention, comments=True)[1:]
    while words and isinstance(command, click.Group) and not words[0].startswith("-"):
        name = words.pop(0)
        found = command.get_command(click.Context(command), name)
        assert found is not None, f"no command {name}"
        command = found
    options = {option for parameter in command.params for option in parameter.opts}
    options |= {"--help", "-h", "--version"}
    for word in words:
        if word.startswith("--"):
            assert word.partition("=")[0] in options, word


def test_the_readme_was_read() -> None:
    assert len(mentions()) > 10


def named_paths() -> list[str]:
    """Files and folders that DEVELOPERS names in code spans."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    return sorted(set(re.findall(r"`([\w./]+(?:\.(?:py|sql|md|toml)|/))`", text)))


def test_the_files_that_developers_names_are_there() -> None:
    def is_there(name: str) -> bool:
        return any((ROOT / room / name).exists() for room in ("", "ledger", "tests"))

    assert len(named_paths()) > 20
    assert [name for name in named_paths() if not is_there(name)] == []
