"""Which test files reach a module, the nearest first: by what each file imports, and so on."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from tests.bench.mutation.rooms import ROOT

FOLDERS = ("derive", "review", "witness", "say", "actions", "papers/sheets", "commands", "field")
_BY_NAME = re.compile(r'import_module\(f"([\w.]+)\.\{')


@cache
def test_files() -> tuple[str, ...]:
    """Those of the rooms, of the acts, and of what shows them, but for a browser's."""
    return tuple(
        path.relative_to(ROOT).as_posix()
        for folder in FOLDERS
        for path in sorted((ROOT / "tests" / folder).rglob("test_*.py"))
        if "browser" not in path.parts
    )


def reaching(file: str) -> list[str]:
    """First those of its name, then by how many imports lie between, its own room first."""
    room, name = file.split("/")[1], Path(file).stem
    far = {test: steps for test in test_files() if (steps := _distances(test).get(file))}
    return sorted(
        far,
        key=lambda test: (
            Path(test).stem != f"test_{name}",
            far[test],
            test.split("/")[1] != room,
            not _are_akin(name, Path(test).stem.removeprefix("test_")),
            test,
        ),
    )


def _are_akin(one: str, other: str) -> bool:
    """Whether their names share the beginning of a word: `corrections` and `load_correct`."""
    return any(a[:5] == b[:5] for a in one.split("_") for b in other.split("_"))


@cache
def _distances(test: str) -> dict[str, int]:
    """How many imports lie between the test and each file that it reaches."""
    found, edge = {test: 0}, [test]
    while edge:
        nearer = edge
        edge = []
        for file in nearer:
            for other in _imported(file):
                if other not in found:
                    found[other] = found[file] + 1
                    edge.append(other)
    return found


@cache
def _imported(file: str) -> frozenset[str]:
    text = (ROOT / file).read_text()
    names = [*_names(ast.parse(text)), *_named_later(text)]
    return frozenset(path for name in names if (path := _path(name)))


def _names(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (one.name for one in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            yield from (f"{node.module}.{one.name}" for one in node.names)


def _named_later(text: str) -> Iterator[str]:
    """Every module of a package from which one is imported by its name, such as a command."""
    for package in _BY_NAME.findall(text):
        for path in (ROOT / package.replace(".", "/")).glob("*.py"):
            yield f"{package}.{path.stem}"


def _path(name: str) -> str:
    """The file of a module of ours; "" for any other name."""
    if not name.startswith(("ledger.", "tests.")):
        return ""
    path = name.replace(".", "/")
    paths = (f"{path}.py", f"{path}/__init__.py")
    return next((one for one in paths if (ROOT / one).is_file()), "")
