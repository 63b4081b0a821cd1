"""What is stated in a folder is what the ledger gives back, field by field."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.audit.audit import audit_file
from tests.record.kinds import (
    FIRST,
    FREE_REASON,
    NEEDS,
    cells_of,
    data_of,
    expected_data,
    personal_of,
    utc_of,
)
from tests.tiny import body_texts, day, disclosed, load, statements, tiny_store, write_folder

TEXT = st.text(st.characters(codec="utf-8", exclude_characters="\0⟦"), min_size=1, max_size=12)
PERSONAL = TEXT.map("⟦{}".format)  # so that it can be looked for where it must not be
OFFSETS = st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m)))
TIMES = st.datetimes(
    datetime(2000, 1, 1),
    datetime(2099, 12, 31, 23, 59, 59),
    timezones=OFFSETS,
).map(datetime.isoformat)
POUNDS = st.decimals("0.01", "9999999.99", places=2).map(str)
# By column; a column that is not here keeps the cell it has in `cells_of`.
CELLS = {
    "at": TIMES,
    "entered": st.one_of(TIMES, st.just("")),
    "kickoff": TIMES,
    "by": st.sampled_from(["wa", "we", "ca", "pc", "so", "ap", "dp", "rg"]),
    "count": st.integers(0, 999).map(str),
    "reading": POUNDS,
    "limit": POUNDS,
    "initials": st.text(
        st.characters(codec="utf-8", exclude_characters="\0⟦"), min_size=1, max_size=6
    ),
    "site": TEXT,
    "note": PERSONAL,
    "ref": st.just(""),
}


@st.composite
def lines(draw: st.DrawFn) -> dict[str, str]:
    """A line of any kind, with any text where text is free."""
    kind = draw(st.sampled_from(list(NEEDS)))
    cells = cells_of(kind, full=draw(st.booleans()))
    free = CELLS | ({"reason": PERSONAL} if kind in FREE_REASON else {})
    free |= {"name": PERSONAL} if kind == "enter_player" else {}
    drawn = {column: draw(free[column]) for column in cells if column in free}
    return {column: text for column, text in (cells | drawn).items() if text}


@pytest.fixture(scope="module")
def scratch(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("round")


@settings(max_examples=60, deadline=None)
@given(st.lists(lines(), min_size=1, max_size=8, unique_by=lambda cells: cells["kind"]))
def test_what_is_stated_is_given_back(scratch: Path, stated: list[dict[str, str]]) -> None:
    folder = write_folder(scratch / "season", day=day(*FIRST, *stated))
    with tiny_store(folder) as store:
        events = statements(store)[len(FIRST) :]
        assert [event.kind for event in events] == [cells["kind"] for cells in stated]
        for cells, event in zip(stated, events, strict=True):
            assert event.at == utc_of(cells["at"])
            assert event.entered == utc_of(cells.get("entered", cells["at"]))
            top = (event.by, event.game, event.team)
            assert top == (cells["by"], cells.get("game"), cells.get("team"))
            assert data_of(event) == expected_data(cells)
            assert disclosed(store, event) == personal_of(cells)
        assert "⟦" not in body_texts(store)
    path = folder.with_name("tiny.weighbook")
    assert audit_file(path).ok
    assert load(path, folder).lines_added == 0  # the same, however a time is written
