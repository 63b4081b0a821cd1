"""Read the files of `sql/`: one query in each file, with a header that says what it is.

    -- purpose: …           what it gives, in words
    -- grain: one row per … what a row is
    -- inputs: a, b         the tables it reads: stems of other files, made before it
    -- rule: …              the rule of the procedure it follows
    -- columns: x, y        what comes out, in order

The keys of `sql/findings/` are in sql/README.md, section 14. Only the inputs that a header names
are made, so a query with an input missing cannot run.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from itertools import takewhile
from pathlib import Path

from ledger.errors import ReportError
from ledger.resources import folder

FINDINGS = "findings"
MADE_BY_ENGINE = frozenset({"withdrawn", "local_date", "appointment", "finding", "unready"})
"""Tables that no file of sql/ makes; `engine`, `findings` and `ready` do."""
_KEY = re.compile(r"-- ([a-z]+): (.+)")
_KEYS = frozenset({"purpose", "grain", "inputs", "columns"})
_RULE_KEYS = frozenset(
    {"procedure", "source", "about", "area", "sentence", "events", "look", "reason"}
)
_MAY_HAVE = frozenset({"also", "right", "todo", "due"})


@dataclass(frozen=True)
class Query:
    """One file of sql/; `room` is its folder: staging, facts, answers, findings."""

    name: str
    room: str
    sql: str
    header: dict[str, str]

    @property
    def inputs(self) -> tuple[str, ...]:
        return _split(self.header["inputs"])

    @property
    def columns(self) -> tuple[str, ...]:
        return _split(self.header["columns"])


@cache
def queries() -> dict[str, Query]:
    """Return every query by name; ReportError for an incomplete header."""
    found = [_read(path) for path in sorted(folder("sql").glob("*/*.sql"))]
    return {query.name: query for query in found}


@cache
def needed(name: str) -> tuple[Query, ...]:
    """Return the queries to run for `name`, inputs first, `name` last."""
    ordered: dict[str, Query] = {}

    def visit(query: Query) -> None:
        for item in query.inputs:
            if item not in MADE_BY_ENGINE:
                visit(queries()[item])
        ordered[query.name] = query

    visit(queries()[name])
    return tuple(ordered.values())


def _read(path: Path) -> Query:
    text = path.read_text(encoding="utf-8")
    header: dict[str, str] = {}
    key = ""
    for line in takewhile(lambda line: line.startswith("--"), text.splitlines()):
        if match := _KEY.fullmatch(line):
            key = match[1]
            if key in header:
                raise ReportError(f"{path.name}: the header has {key} twice")
            header[key] = match[2]
        elif key and line.startswith("--   "):
            header[key] += " " + line.removeprefix("--").strip()
        else:
            raise ReportError(f"{path.name}: not a header line: {line}")
    is_rule = path.parent.name == FINDINGS
    wanted = _KEYS | (_RULE_KEYS if is_rule else {"rule"})
    if missing := wanted - header.keys():
        raise ReportError(f"{path.name}: the header lacks {', '.join(sorted(missing))}")
    if unknown := header.keys() - wanted - (_MAY_HAVE if is_rule else set()):
        raise ReportError(f"{path.name}: unknown in the header: {', '.join(sorted(unknown))}")
    return Query(path.stem, path.parent.name, text, header)


def _split(text: str) -> tuple[str, ...]:
    """Split names at commas, without remarks in parentheses."""
    plain = re.sub(r"\([^)]*\)", "", text)
    return tuple(item.strip() for item in plain.split(",") if item.strip())
