"""Run the queries of `sql/` over events, in DuckDB in memory.

An engine serves one question and is thrown away; its tables and variables are its own and go with
it. Times go in and out as UTC without a zone; the machine's zone plays no part. Events travel
through a nameless file of JSON lines: DuckDB reads it in parallel, and one game needs no import of
Arrow.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from itertools import chain, islice
from typing import Any

import duckdb

from ledger.derive.passing import passed
from ledger.derive.queries import MADE_BY_ENGINE, needed, queries
from ledger.record.authority import Appointment, with_authority
from ledger.record.times import local_date, moment_of
from ledger.record.withdrawals import withdrawn
from ledger.store.store import Stored

_CONFIG: dict[str, str | bool | int | float | list[str]] = {
    "autoinstall_known_extensions": "false",
    "autoload_known_extensions": "false",
    "python_enable_replacements": "false",  # otherwise a Python name could stand in for a table
    "temp_directory": "",  # otherwise it writes rows into .tmp in the current folder
}
_FEW = 20_000
"""Below so many events, planning costs more than running: no threads, and fewer optimizers."""
_FEW_OPTIMIZERS = (
    "column_lifetime", "common_aggregate", "common_subexpressions", "cte_inlining", "deliminator",
    "expression_rewriter", "extension", "filter_pushdown", "in_clause", "limit_pushdown",
    "materialized_cte", "regex_range", "top_n", "unnest_rewriter", "unused_columns",
    "window_rewriter",
)  # fmt: skip


@dataclass(frozen=True)
class Answer:
    """Rows of an answer, in order; times are UTC text."""

    columns: tuple[str, ...]
    rows: list[tuple[Any, ...]]

    def dicts(self) -> list[dict[str, Any]]:
        return [dict(zip(self.columns, row, strict=True)) for row in self.rows]


class Engine:
    """The tables behind answers, each made once, when first needed.

    `as_of` and `known_at` are UTC text: statements entered, or recorded, later do not count.
    """

    def __init__(
        self, events: Iterable[Stored], *, as_of: str | None = None, known_at: str | None = None
    ) -> None:
        events = iter(events)
        first = list(islice(events, _FEW))
        self.connection = _database(few=len(first) < _FEW).cursor()
        self._made: set[str] = set()
        self._values: dict[str, Any] = {}
        for name, moment in (("as_of", as_of), ("known_at", known_at)):
            self._set(name, moment_of(moment).replace(tzinfo=None) if moment else None)
        lines = (
            f'{{"clock":"{stored.clock}","event":{stored.body}}}\n'
            for stored in chain(first, events)
        )
        with passed(lines) as path:
            self._set("events_file", path)
            self.make("event")
        self._make_withdrawn()

    def answer(self, name: str, **parameters: str | None) -> Answer:
        """Return the rows of the answer, fact or finding with that name."""
        self.make(*queries()[name].inputs)
        self._narrow(parameters)
        rows = [tuple(_plain(value) for value in row) for row in self.run(queries()[name].sql)]
        return Answer(tuple(column[0] for column in self.connection.description or ()), rows)

    def run(self, sql: str, values: Mapping[str, Any] | None = None) -> list[tuple[Any, ...]]:
        """Return DuckDB's rows. Every query runs through here.

        DuckDB swallows a KeyboardInterrupt and raises only this RuntimeError.
        """
        try:
            return self.connection.execute(sql, values).fetchall()
        except RuntimeError as error:
            if type(error) is RuntimeError and str(error) == "Query interrupted":
                raise KeyboardInterrupt from error
            raise

    def make(self, *names: str) -> None:
        """Make these tables and what they need, unless they exist."""
        # Whole tables only: one made under a game's filter would serve the next game too.
        self._narrow({})
        for name in names:
            self._make_own([name])
            for query in () if name in MADE_BY_ENGINE else needed(name):
                if query.name not in self._made:
                    self._make_own(query.inputs)
                    self.run(f"create temp table {query.name} as {query.sql}")
                    self._made.add(query.name)

    def unite(self, name: str, shape: Mapping[str, str], parts: Iterable[str]) -> None:
        """Make the table `name` of this shape from these queries; column `rule` names the query.

        Columns that a query does not have are null.
        """
        chosen = [queries()[part] for part in parts]
        self.make(*(item for query in chosen for item in query.inputs))
        empty = ", ".join(f"null::{kind} as {column}" for column, kind in shape.items())
        rows = [f"select {empty} where false"]
        rows += [f"select '{part.name}' as rule, * from ({part.sql})" for part in chosen]  # noqa: S608 - our own files
        self.run(f"create or replace temp table {name} as " + " union all by name ".join(rows))

    def close(self) -> None:
        self.connection.close()

    def _narrow(self, parameters: Mapping[str, str | None]) -> None:
        for key in ("game", "team"):
            self._set(key, parameters.get(key))

    def _set(self, name: str, value: Any) -> None:
        if name not in self._values or self._values[name] != value:
            self.run(f"set variable {name} = $value", {"value": value})
            self._values[name] = value

    def _make_withdrawn(self) -> None:
        """Make the table of withdrawn events; withdrawing a withdrawal restores, to any depth."""
        pairs = self.run(
            "select withdrawal.position, target.position "
            "from event as withdrawal "
            "inner join event as target on withdrawal.target_id = target.event_id "
            "where withdrawal.kind = 'withdraw'"
        )
        gone = sorted(withdrawn((int(one), int(other)) for one, other in pairs))
        self.run(
            "create temp table withdrawn as select unnest($gone::bigint[]) as position",
            {"gone": gone},
        )

    def _make_own(self, names: Iterable[str]) -> None:
        """Make those of these tables that no query makes."""
        for name in names:
            if name in ("local_date", "appointment") and name not in self._made:
                self._made.add(name)
                self._make_local_date() if name == "local_date" else self._make_appointment()

    def _make_appointment(self) -> None:
        """Which appointments that count have authority: a walk in ledger order."""
        self.make("statement", "table_row")
        lines = self.run(
            "select data.official, data.role from table_row where kind = 'official' "
            "order by position"
        )
        made = self.run(
            'select position, stated_by, data.value, data."to", game '
            "from statement where kind = 'appoint' order by position"
        )
        found = with_authority(lines, [Appointment(*row[1:]) for row in made])
        self.run(
            "create temp table appointment as select unnest($positions::bigint[]) as position, "
            "unnest($found::boolean[]) as has_authority",
            {"positions": [row[0] for row in made], "found": found},
        )

    def _make_local_date(self) -> None:
        """The local date of every kickoff, in the league's zone as `tzdata` has it."""
        self.make("game", "league")
        zones = self.run("select time_zone from league")
        games = self.run("select game, kickoff_at from game")
        dates = [local_date(_plain(kickoff), zone) for (zone,) in zones for _, kickoff in games]
        self.run(
            "create temp table local_date as "
            "select unnest($games::varchar[]) as game, unnest($dates::date[]) as local_date",
            {"games": [game for game, _ in games], "dates": dates},
        )


@cache
def _database(*, few: bool) -> duckdb.DuckDBPyConnection:
    """The process's empty database: making one costs more than most questions.

    Temporary tables are its connections' own.
    """
    database = duckdb.connect(":memory:", config=_CONFIG)
    if few:
        others = database.execute(
            "select list(name) from duckdb_optimizers() where not list_contains($kept, name)",
            {"kept": _FEW_OPTIMIZERS},
        ).fetchall()[0][0]
        database.execute("set global threads = 1")
        database.execute(f"set global disabled_optimizers = '{','.join(others)}'")
    return database


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.isoformat(timespec="milliseconds") + "Z"
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(item) for item in value]
    return value
