"""The data dictionary as text: each line of a table is indented below its name."""

from __future__ import annotations

from ledger.derive import dictionary
from ledger.derive.dictionary import WIDTH, Column, Table, describe, format_dictionary
from ledger.derive.engine import Engine
from tests.short_season import short_season
from tests.stored import stored_events

LONG = "a sentence that has to go on in the next line, for nobody reads first-game lines of eighty"
TABLE = Table(
    name="book",
    purpose=LONG,
    grain="one row a player",
    rule=LONG,
    columns=(Column("at", "text", LONG), Column("initials", "text", "the initials")),
)


def test_texts_are_indented_and_columns_stand_below_each_other() -> None:
    lines = format_dictionary([TABLE]).splitlines()
    assert all(len(line) <= WIDTH for line in lines)
    begin = lines.index("book")
    own = [line for line in lines[begin + 1 :] if line]
    purpose, columns = own[:4], own[4:]
    assert [len(line) - len(line.lstrip()) for line in purpose] == [2, 2, 2, 2]
    assert columns[0].startswith("  at        a sentence")
    assert columns[1].startswith(" " * 12 + columns[1].lstrip()[0])
    assert not any(line.endswith("first-") for line in own)
    assert columns[-1] == "  initials  the initials (text)"


def test_what_stands_above_the_tables_is_not_indented() -> None:
    above = format_dictionary([]).splitlines()
    assert above[0] == "Data dictionary"
    assert not any(line.startswith(" ") for line in above)


def test_a_column_that_means_something_else_in_one_answer_says_so_there() -> None:
    engine = Engine(stored_events(short_season("")))
    for (query, column), meaning in dictionary._OWN.items():
        engine.answer(query)
        told = {one.name: one.meaning for one in describe(engine, query).columns}
        assert told[column] == meaning, query
    engine.close()
