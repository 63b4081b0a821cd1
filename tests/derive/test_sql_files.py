"""The files of sql/ have a full header, true to what the query gives, and a total order."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.derive.engine import Engine
from ledger.derive.findings import SHAPE, find, rules
from ledger.derive.queries import MADE_BY_ENGINE, Query, queries
from ledger.derive.ready import SHAPE as CHECK
from ledger.derive.ready import checks, unready
from ledger.resources import folder
from tests.derive.season_cases import Season, season_of

FILES = sorted(folder("sql").glob("*/*.sql"))
EVERY = list(queries().values())
every_query = pytest.mark.parametrize("query", EVERY, ids=lambda query: query.name)


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Season:
    """The base season, and a second game with a late player, no usable scale and a case."""
    lines = """\
at,kind,game,team,player,by,value,half,count,case,reason,may_play,may_carry
2026-09-12 09:30,scale_out,g2,,,so,,,,,battery,,
2026-09-12 09:31,weigh,g2,elm,e1,wa,no_scale,,,,,,
2026-09-12 09:40,weigh,g2,ash,a3,we,no_scale,,,,,,
2026-09-12 10:20,late_weigh,g2,ash,a2,we,ok,,,,,,
2026-09-12 10:55,plays,g2,ash,a2,pc,,1,3,,,,
2026-09-12 10:55,plays,g2,ash,a2,so,,1,4,,,,
2026-09-12 11:00,case_open,g2,ash,a3,we,,,,c1,weigh,,
2026-09-12 11:01,ruling,g2,ash,a3,ho,decided,,,c1,,full,yes
"""
    return season_of(lines, tmp_path_factory.mktemp("season") / "folder")


@pytest.fixture
def engine(season: Season) -> Iterator[Engine]:
    engine = Engine(season.store.events())
    yield engine
    engine.close()


def test_a_name_is_used_once() -> None:
    assert len(FILES) == len(EVERY)


@every_query
def test_header_says_what_the_query_is(query: Query) -> None:
    assert all(query.header.values())
    assert query.header["grain"].startswith("one row")
    assert set(query.inputs) <= queries().keys() | MADE_BY_ENGINE
    body = "\n".join(line for line in query.sql.splitlines() if not line.startswith("--"))
    unused = [name for name in query.inputs if not re.search(rf"\b{name}\b", body)]
    assert not unused


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_file_is_short(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 120


def test_columns_are_those_declared(engine: Engine) -> None:
    find(engine)
    unready(engine)
    for query in EVERY:
        engine.make(query.name)
        made = engine.connection.execute(f"describe {query.name}").fetchall()
        assert tuple(row[0] for row in made) == query.columns, query.name


@pytest.mark.parametrize("rule", rules())
def test_a_rule_fills_columns_of_a_finding_in_their_order(rule: str) -> None:
    """Also that every finding shows statements and says what was found."""
    filled = queries()[rule].columns
    assert filled == tuple(column for column in SHAPE if column in filled)
    assert {"positions", "detail"} <= set(filled)


@pytest.mark.parametrize("check", checks())
def test_a_check_fills_columns_of_a_check(check: str) -> None:
    assert {"game", "detail"} <= set(queries()[check].columns) <= {*CHECK, "positions"}


@every_query
def test_ends_in_an_order(query: Query) -> None:
    outside, changes = query.sql, 1
    while changes:
        outside, changes = re.subn(r"\([^()]*\)", "", outside)
    assert "order by" in outside or query.header["grain"] == "one row"


def test_order_is_total(engine: Engine) -> None:
    """The same rows in the same order, no matter how the inputs are ordered."""
    find(engine)
    unready(engine)
    engine.connection.execute("select setseed(0.5)").fetchall()
    for query in EVERY:
        if query.name == "event":  # read from the file, in the order of its own position
            continue
        before = _rows(engine, query)
        for name in query.inputs:
            if name not in ("finding", "unready"):
                engine.connection.execute(
                    f"create or replace table {name} as select * from {name} order by random()"
                )
        assert _rows(engine, query) == before, query.name


def _rows(engine: Engine, query: Query) -> list[tuple[Any, ...]]:
    """The rows; positions in facts and findings are a set, which answers put in order."""
    rows = engine.answer(query.name).rows
    if query.room == "answers":
        return rows
    return [tuple(_in_order(value) for value in row) for row in rows]


def _in_order(value: Any) -> Any:
    if isinstance(value, list) and all(isinstance(item, int) for item in value):
        return sorted(value)
    return value
