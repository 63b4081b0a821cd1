"""DuckDB in memory: events in, the queries of `sql/` run, rows out.

Nothing here is kept: an engine is made for an answer and thrown away. Times go in and out as
UTC without a zone; the machine's zone is never asked. Events travel through a file of JSON lines
that has no name: DuckDB reads it in parallel, and no Arrow library need be imported for one game.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
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
    "python_enable_replacements": "false",  # else a Python name would stand in for a table
    "temp_directory": "",  # else it would put rows into a folder .tmp, wherever one stands
}


@dataclass(frozen=True)
class Answer:
    """Rows of an answer, in its order; times are UTC text, lists are lists."""

    columns: tuple[str, ...]
    rows: list[tuple[Any, ...]]

    def dicts(self) -> list[dict[str, Any]]:
        return [dict(zip(self.columns, row, strict=True)) for row in self.rows]


class Engine:
    """The tables that answers are made of, each made once, when it is first needed.

    `as_of` and `known_at` are UTC text: statements entered, or recorded, later do not count.
    """

    def __init__(
        self, events: Iterable[Stored], *, as_of: str | None = None, known_at: str | None = None
    ) -> None:
        self.connection = duckdb.connect(":memory:", config=_CONFIG)
        self._made: set[str] = set()
        self._set("as_of", moment_of(as_of).replace(tzinfo=None) if as_of else None)
        self._set("known_at", moment_of(known_at).replace(tzinfo=None) if known_at else None)
        lines = (f'{{"clock":"{stored.clock}","event":{stored.body}}}\n' for stored in events)
        with passed(lines) as path:
            self._set("events_file", path)
            self.make("event")
        self._make_withdrawn()

    def answer(self, name: str, **parameters: str | None) -> Answer:
        """The rows of the answer (or fact, or finding) of that name."""
        self.make(*queries()[name].inputs)
        self._narrow(parameters)
        rows = [tuple(_plain(value) for value in row) for row in self.run(queries()[name].sql)]
        return Answer(tuple(column[0] for column in self.connection.description or ()), rows)

    def run(self, sql: str, values: Mapping[str, Any] | None = None) -> list[tuple[Any, ...]]:
        """The rows that DuckDB gives for it: the one place that asks it.

        Stopped in the middle, DuckDB takes the KeyboardInterrupt away and says only this.
        """
        try:
            return self.connection.execute(sql, values).fetchall()
        except RuntimeError as error:
            if type(error) is RuntimeError and str(error) == "Query interrupted":
                raise KeyboardInterrupt from error
            raise

    def make(self, *names: str) -> None:
        """Make these tables and what they need, unless they are made already."""
        # Tables are made whole: a table made under one game's filter would serve the next.
        self._narrow({})
        for name in names:
            self._make_own([name])
            if name in MADE_BY_ENGINE:
                continue
            for query in needed(name):
                if query.name not in self._made:
                    self._make_own(query.inputs)
                    self.run(f"create table {query.name} as {query.sql}")
                    self._made.add(query.name)

    def unite(self, name: str, shape: Mapping[str, str], parts: Iterable[str]) -> None:
        """Make the table `name` of this shape: the rows of these queries, led by which it was.

        A query gives the columns that it fills, by name.
        """
        chosen = [queries()[part] for part in parts]
        self.make(*(item for query in chosen for item in query.inputs))
        empty = ", ".join(f"null::{kind} as {column}" for column, kind in shape.items())
        rows = [f"select {empty} where false"]
        rows += [f"select '{part.name}' as rule, * from ({part.sql})" for part in chosen]  # noqa: S608 - our own files
        self.run(f"create or replace table {name} as " + " union all by name ".join(rows))

    def close(self) -> None:
        self.connection.close()

    def _narrow(self, parameters: Mapping[str, str | None]) -> None:
        for key in ("game", "team"):
            self._set(key, parameters.get(key))

    def _set(self, name: str, value: Any) -> None:
        self.run(f"set variable {name} = $value", {"value": value})

    def _make_withdrawn(self) -> None:
        """What is withdrawn: a withdrawal of a withdrawal restores, as deep as it goes."""
        pairs = self.run(
            "select withdrawal.position, target.position "
            "from event as withdrawal "
            "inner join event as target on withdrawal.target_id = target.event_id "
            "where withdrawal.kind = 'withdraw'"
        )
        gone = sorted(withdrawn((int(one), int(other)) for one, other in pairs))
        self.run(
            "create table withdrawn as select unnest($gone::bigint[]) as position", {"gone": gone}
        )

    def _make_own(self, names: Iterable[str]) -> None:
        """Those of these tables that this class makes when they are first needed."""
        for name in names:
            if name == "local_date":
                self._make_local_date()
            if name == "appointment":
                self._make_appointment()

    def _make_appointment(self) -> None:
        """Which appointments that count have authority: a walk in ledger order, as above."""
        if "appointment" in self._made:
            return
        self.make("statement")
        lines = self.run(
            "select data.official, data.role from event where kind = 'official' order by position"
        )
        made = self.run(
            'select position, stated_by, data.value, data."to", game '
            "from statement where kind = 'appoint' order by position"
        )
        found = with_authority(lines, [Appointment(*row[1:]) for row in made])
        self.run(
            "create table appointment as select unnest($positions::bigint[]) as position, "
            "unnest($found::boolean[]) as has_authority",
            {"positions": [row[0] for row in made], "found": found},
        )
        self._made.add("appointment")

    def _make_local_date(self) -> None:
        """The local date of every kickoff, by the league's zone as `tzdata` has it."""
        if "local_date" in self._made:
            return
        self.make("game", "league")
        zones = self.run("select time_zone from league")
        games = self.run("select game, kickoff_at from game")
        dates = [local_date(_plain(kickoff), zone) for (zone,) in zones for _, kickoff in games]
        self.run(
            "create table local_date as "
            "select unnest($games::varchar[]) as game, unnest($dates::date[]) as local_date",
            {"games": [game for game, _ in games], "dates": dates},
        )
        self._made.add("local_date")


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.isoformat(timespec="milliseconds") + "Z"
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(item) for item in value]
    return value
