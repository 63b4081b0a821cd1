"""Parts of a text between marks: which there are, and the text with them made anew."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from tests.contract import season_parts, sql_parts

ROOT = Path(__file__).resolve().parents[2]
FORMAT, SQL_README = ROOT / "sample_season" / "FORMAT.md", ROOT / "sql" / "README.md"
_PART = re.compile(r"(<!-- made: (\w+) -->\n).*?(<!-- end of \2 -->)", re.DOTALL)


def texts() -> list[tuple[Path, dict[str, str]]]:
    """Each file and the parts that it must hold, by name."""
    return [(FORMAT, season_parts.parts()), (SQL_README, sql_parts.parts())]


def parts_of(text: str) -> list[str]:
    """The names of the parts between marks, in order."""
    return [match[2] for match in _PART.finditer(text)]


def with_parts(text: str, parts: Mapping[str, str]) -> str:
    """The text with every part made anew."""
    return _PART.sub(lambda match: f"{match[1]}{parts[match[2]].strip()}\n{match[3]}", text)
