"""Write the data dictionary of exported tables: what each table holds and each column means.

Purpose, grain and rule come from the header of the SQL file, types from DuckDB.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ledger.derive.engine import Engine
from ledger.derive.queries import queries
from ledger.derive.spreadsheet import HARMLESS
from ledger.errors import ReportError

WIDTH = 80
_TYPES = {"VARCHAR": "text", "INTEGER": "whole number", "BIGINT": "whole number",
          "BOOLEAN": "true or false", "TIMESTAMP": "time, UTC",
          "VARCHAR[]": "texts, a space between"}  # fmt: skip

_FORM = (
    "Each table is one file with a header line: UTF-8, RFC 4180. Times are UTC, to the "
    "millisecond. An empty cell means there is no value."
)

MEANINGS: Mapping[str, str] = {
    "answered_at": "when its first ruling or close was entered",
    "at": "when it happened; empty if there is no single statement",
    "basis": "what may_play and may_carry rest on: scale, late_scale, book (the first-game mark), "
    "declared (listed over beforehand), ruling, none (not weighed)",
    "by": "the official who entered it, by id",
    "capacity": "the roles this official holds, in words",
    "case": "the case it is about, by id",
    "case_id": "the case, by the id it was opened under",
    "detail": "what was found, in words",
    "division": "the division, by id",
    "due_at": "when a decision is due",
    "entered_at": "when it was written down, as the writer says; empty for setup rows",
    "event_id": "the statement in the ledger: chain and number in it",
    "events": "the statements it rests on, in ledger order",
    "game": "the game, by id",
    "happened_at": "when it happened, as the writer says; empty for setup rows",
    "has_authority": "whether a reviewer for this kind of case ruled; empty for other statements",
    "home": "the home team, by id",
    "how": "how it was signed: key (the official's own), device (theirs, on a phone), ink (with a "
    "scan), sheet (as the day's paper says)",
    "initials": "the initials put into the book",
    "is_off": "whether the game is called off",
    "is_overdue": "whether it was not decided in time",
    "is_protest_late": "whether the protest was entered after protest_due_at",
    "is_role_later": "whether the ledger learned of the role behind a ruling only after it",
    "kickoff_at": "kickoff, as last entered",
    "kind": "the kind of statement",
    "list_number": "the full number of the list that was signed; empty for a sheet",
    "listed": "the reasons why the player is on the ineligible list",
    "listed_at": "when the player was put on the list",
    "listed_by": "who put the player on the list, by id",
    "mark": "the first-game mark in the book: ok or over",
    "may_carry": "whether the player may carry the ball: yes, no, undecided (no scale and no mark)",
    "may_play": "how much of the game the player may play: full, second_half, none",
    "number": "the number on the jersey; empty if unknown",
    "official": "the official it is about, by id",
    "opened_at": "when the question was asked",
    "opened_by": "who asked, by id",
    "player": "the player, by an id that contains no name; unlisted-… is on no roster",
    "protest_due_at": "when a protest was due, if the end of half 2 was entered",
    "question": "the kind of question, in words",
    "reason": "the reason entered, one of the kind's own words",
    "recorded": "the plays counted for the player; empty if nobody counted the team's",
    "recorded_at": "when the ledger recorded it, by its own clock",
    "required": "the plays due to each player on the team",
    "reviewers": "the roles that review it, in order",
    "roles": "the roles this official holds with authority",
    "rule": "the rule of the procedure, by the name of its file",
    "ruling": "the last ruling entered with authority: upheld, denied, decided",
    "short": "how many of the required plays are missing",
    "side": "the side that signed, or should have: a team's id",
    "signed_at": "when it was signed",
    "site": "where it is played",
    "state": "open, ruled, closed or withdrawn",
    "status": "met, short, excused, uncounted (nobody counted), not_required (may not play)",
    "strike_id": "the statement that struck the player off; empty if the listing stands",
    "struck_at": "when the player was struck off",
    "struck_by": "who struck the player off, by id",
    "team": "the team, by id",
    "to_role": "the role to which the case was passed",
    "value": "what was entered: the ruling, or an exhibit's SHA-256",
    "visitor": "the visiting team, by id",
    "what": "what was said or done, in words",
    "with_role": "the role it is with now",
    "withdrawn_by": "the statement that withdrew it",
}
_OWN: Mapping[tuple[str, str], str] = {
    ("book", "at"): "when it was initialed",
    ("book", "by"): "who initialed it, by id",
    ("book", "game"): "the game in which it was initialed",
    ("case_timeline", "by"): "who said or did it, by id",
    ("cases", "reason"): "what it is about: roster, weigh, plays, safety, protest, other",
    ("ineligible_list", "reason"): "why listed: over, absent, injured, equipment, other",
    ("list_signatures", "official"): "who signed, by id",
    ("list_signatures", "side"): "the side for which this official signs: a team's id",
    ("list_signatures", "team"): "the team whose list was signed, by id",
}  # fmt: skip


@dataclass(frozen=True)
class Column:
    """A column of a table: its type in words, and what it means."""

    name: str
    type: str
    meaning: str


@dataclass(frozen=True)
class Table:
    """A table; `rule` is the rule of the procedure it follows."""

    name: str
    purpose: str
    grain: str
    rule: str
    columns: tuple[Column, ...]


def describe(engine: Engine, query: str, *, name: str = "") -> Table:
    """Describe the table that this answer (or fact) gives, under its own or another name.

    The engine must have run it. Raises ReportError for a column without a meaning.
    """
    columns, header = [], queries()[query].header
    for column, kind, *_ in engine.run(f"describe {queries()[query].sql}"):
        meaning = _OWN.get((query, column)) or MEANINGS.get(column)
        if not meaning or kind not in _TYPES:
            raise ReportError(f"the data dictionary lacks {query}.{column} ({kind})")
        columns.append(Column(column, _TYPES[kind], meaning))
    purpose, grain, rule = (header[key] for key in ("purpose", "grain", "rule"))
    return Table(name or query, purpose, grain, rule, tuple(columns))


def format_dictionary(tables: Iterable[Table]) -> str:
    """Return the dictionary as plain text, 80 columns wide."""
    lines = ["Data dictionary", ""]
    for text in (_FORM, HARMLESS):
        lines += [*_wrapped(text, ""), ""]
    for table in tables:
        lines += [table.name, *_wrapped(f"{table.purpose}; {table.grain}", "  ")]
        lines += [*_wrapped(f"Rule: {table.rule}", "  "), ""]
        width = max(len(column.name) for column in table.columns) + 2
        for column in table.columns:
            text = f"{column.name:<{width}}{column.meaning} ({column.type})"
            lines += _wrapped(text, "  ", " " * (width + 2))
        lines.append("")
    return "\n".join(lines)


def _wrapped(text: str, first: str, rest: str = "") -> list[str]:
    rest = rest or first
    wrap = textwrap.TextWrapper(WIDTH, first, rest, break_on_hyphens=False)
    return wrap.wrap(text)
