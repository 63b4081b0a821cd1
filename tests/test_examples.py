"""Every example in a docstring is true, and each of them runs."""

from __future__ import annotations

import doctest
import importlib
import re
from pathlib import Path

import pytest

import ledger

FOLDER = Path(ledger.__file__).parent
EXAMPLE = re.compile(r"^ *>>> ", re.MULTILINE)


def count_examples() -> dict[str, int]:
    """How many examples the text of each module has; modules without one are left out."""
    found = {}
    for path in sorted(FOLDER.rglob("*.py")):
        name = ".".join(path.relative_to(FOLDER.parent).with_suffix("").parts)
        if count := len(EXAMPLE.findall(path.read_text(encoding="utf-8"))):
            found[name.removesuffix(".__init__")] = count
    return found


COUNTS = count_examples()


def test_there_are_examples() -> None:
    """Else nothing below would run, and nobody would notice."""
    assert len(COUNTS) >= 15
    assert sum(COUNTS.values()) >= 40


@pytest.mark.parametrize("name", COUNTS)
def test_examples(name: str) -> None:
    ran = doctest.testmod(importlib.import_module(name))
    assert (ran.attempted, ran.failed) == (COUNTS[name], 0)
