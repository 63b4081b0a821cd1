"""What no action does: print, read from a terminal, know the command line or HTTP."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOM = Path(__file__).resolve().parents[2] / "ledger" / "actions"
NEVER_IMPORTED = {"click", "http", "sys", "getpass", "urllib", "socket", "starlette"}
NEVER_CALLED = {"print", "input", "echo", "open"}


def misuses(source: str) -> list[str]:
    """Names in this source that an action may not import or call."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [node.module or ""]
        elif isinstance(node, ast.Call):
            called = node.func
            name = getattr(called, "id", getattr(called, "attr", ""))
            found += [name] if name in NEVER_CALLED else []
            continue
        else:
            continue
        found += [name for name in names if name.partition(".")[0] in NEVER_IMPORTED]
    return found


@pytest.mark.parametrize("path", sorted(ROOM.glob("*.py")), ids=lambda path: path.stem)
def test_an_action_knows_no_front_end(path: Path) -> None:
    assert misuses(path.read_text(encoding="utf-8")) == []


def test_such_a_use_would_be_found() -> None:
    assert misuses("import click\nfrom http.client import X\ndef f():\n    print(input())") == [
        "click", "http.client", "print", "input",
    ]  # fmt: skip
    assert len(list(ROOM.glob("*.py"))) > 5
