"""Every kind of statement: what it needs, what it may have, and what it does not use."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from ledger.chain.disclosure import digest_of
from ledger.chain.event import Event
from ledger.errors import Fault
from ledger.record.fields import COLUMNS
from ledger.record.reading import Place, read_statement
from ledger.record.statements import KINDS, Statement
from ledger.record.times import zone
from ledger.store.sqlite.store import SqliteStore
from tests.record.kinds import (
    CELLS,
    FIRST,
    NEEDS,
    OF_KIND,
    ROLES,
    cells_of,
    data_of,
    expected_data,
    personal_of,
)
from tests.tiny import day, disclosed, says, statements, tiny_store, write_folder


def read(cells: dict[str, str]) -> tuple[Statement | None, list[Fault]]:
    return read_statement(cells, zone("America/Chicago"), Place("days/01.csv", 2))


def told(cells: dict[str, str]) -> list[str]:
    return [str(fault).removeprefix("days/01.csv, line 2, ") for fault in read(cells)[1]]


class Season:
    """A line of every kind, loaded: the event of each, and its disclosures."""

    def __init__(self, store: SqliteStore) -> None:
        self.events: dict[str, Event] = {}
        for event in statements(store)[len(FIRST) :]:
            self.events[event.kind] = event
        self.personal = {kind: disclosed(store, event) for kind, event in self.events.items()}
        self.raw = {(row.seq, row.field): row.text for row in store.disclosures()}


@pytest.fixture(scope="module", params=[False, True], ids=["needed", "full"])
def season(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Season, bool]]:
    lines = [cells_of(kind, full=request.param) for kind in NEEDS]
    folder = write_folder(tmp_path_factory.mktemp("kinds") / "season", day=day(*FIRST, *lines))
    with tiny_store(folder) as store:
        yield Season(store), request.param


def test_the_kinds_are_these() -> None:
    assert list(KINDS) == list(NEEDS)


@pytest.mark.parametrize("kind", NEEDS)
def test_a_line_becomes_an_event(season: tuple[Season, bool], kind: str) -> None:
    loaded, full = season
    event, cells = loaded.events[kind], cells_of(kind, full=full)
    said = personal_of(cells)
    assert loaded.personal[kind] == said
    assert event.data.get("digests", {}) == {
        field: digest_of(loaded.raw[event.seq, field]) for field in said
    }
    assert event.at == "2026-09-05T13:40:00.000Z"
    assert event.entered == ("2026-09-05T13:52:00.000Z" if full else event.at)
    player = "a1" if cells.get("number") == "1" else cells.get("player")
    top = (event.by, event.game, event.team, event.player)
    assert top == ("we", cells.get("game"), cells.get("team"), player)
    assert data_of(event) == expected_data(cells)


def test_an_event_says_where_its_line_stood(season: tuple[Season, bool]) -> None:
    events = season[0].events
    assert events["roster_add"].data["source"] == {"file": "days/01.csv", "record": 3}
    assert events["withdraw"].data["source"] == {"file": "days/01.csv", "record": 35}


@pytest.mark.parametrize("kind", NEEDS)
def test_what_a_kind_needs_and_has_not_is_told(kind: str) -> None:
    whole = cells_of(kind, full=False)
    assert told(whole) == []
    for column in ["at", *NEEDS[kind][0].replace("who", "number").split()]:
        faults = told({key: text for key, text in whole.items() if key != column})
        if column == "number" and "who" in NEEDS[kind][0]:
            assert faults == [
                "player: found nothing; expected a player id, a number, or a number with a name"
            ]
        else:
            assert faults == [f"{column}: found nothing; expected a value"]


@pytest.mark.parametrize("kind", NEEDS)
def test_a_column_that_a_kind_does_not_use_must_be_empty(kind: str) -> None:
    used = {"at", "entered", "kind", "ref", "note", *" ".join(NEEDS[kind]).split()}
    used |= {"player", "number", "name"} if "who" in used else set()
    whole = cells_of(kind, full=False)
    uses = ", ".join(column for column in COLUMNS if column in used - {"kind"})
    for column in COLUMNS.keys() - used:
        right = f"an empty cell; {kind} lines do not use this column. They use {uses}"
        text = CELLS[column]
        assert told(whole | {column: text}) == [f"{column}: found '{text}'; expected {right}"]


@pytest.mark.parametrize(
    ("kind", "column", "allowed"),
    [
        ("list", "reason", "over absent injured equipment other"),
        ("strike_off", "reason", "over absent injured equipment other"),
        ("weigh", "value", "ok over no_scale"),
        ("late_weigh", "value", "ok over no_scale"),
        ("initial", "value", "ok over"),
        ("half", "half", "1 2"),
        ("plays", "half", "1 2 3"),
        ("snaps", "half", "1 2 3"),
        ("excuse", "reason", "injured discipline left other"),
        (
            "concern",
            "reason",
            "mouth_guard chin_strap helmet cleats equipment coach_near_scale conduct other",
        ),
        ("case_open", "reason", "roster weigh plays safety protest other"),
        ("ruling", "value", "upheld denied decided"),
        ("ruling", "may_play", "full second_half none"),
        ("ruling", "may_carry", "yes no"),
        (
            "case_refer",
            "to",
            " ".join(ROLES),
        ),
    ],
)
def test_the_words_a_column_allows(kind: str, column: str, allowed: str) -> None:
    words = allowed.split()
    cells = cells_of(kind, full=True)
    for word in words:
        assert told(cells | {column: word}) == []
    for other in ("7", "0", "4") if column == "half" else ("7", "OK", "over ", "maybe"):
        (fault,) = told(cells | {column: other})
        found, _, right = fault.partition("; expected ")
        assert found.startswith(f"{column}: found ")
        assert right == f"one of {', '.join(words[:-1])} or {words[-1]}"


def test_an_appointed_weighmaster_or_coach_has_a_team() -> None:
    cells = cells_of("appoint", full=False)
    for role in ("weighmaster", "coach"):
        faults = told(cells | {"to": role})
        assert faults == ["team: found nothing; expected a team: weighmasters and coaches need one"]
        assert told(cells | {"to": role, "team": "ash"}) == []


@pytest.mark.parametrize(("text", "right"), [("0", ""), ("999", ""), ("1000", "of 999 or less")])
def test_counts_are_whole_from_0_to_999(text: str, right: str) -> None:
    for kind in ("plays", "snaps"):
        faults = told(cells_of(kind, full=False) | {"count": text})
        assert right in "".join(faults)
        assert bool(faults) == bool(right)


def test_an_unknown_kind_names_the_nearest() -> None:
    right = "a kind of entry; weighbook record --help lists them. Did you mean weigh"
    (fault,) = told(says("weight", game="g1"))
    assert fault.startswith(f"kind: found 'weight'; expected {right}")
    (fault,) = told({"at": "2026-09-05T08:40"})
    assert fault.startswith("kind: found nothing; expected a kind of entry")


def test_every_fault_of_a_line_is_told_once() -> None:
    faults = told(says("weigh", at="noon", game="g 1", team=None, number="x", value="ok", half=1))
    assert [fault.partition(":")[0] for fault in faults] == ["at", "number", "half", "game", "team"]


def test_a_ruling_may_override_with_game_team_and_player_only() -> None:
    whole = cells_of("ruling", full=True)
    for without in ("game", "team", "number"):
        cells = {key: text for key, text in whole.items() if key != without}
        faults = told(cells)
        assert len(faults) == 1
        assert "game" in faults[0]
        assert "expected game" in faults[0]
    for says_what in ("may_play", "may_carry"):
        (fault,) = told(cells_of("ruling", full=False) | {says_what: whole[says_what]})
        word = whole[says_what]
        assert (
            fault == f"{says_what}: found '{word}'; expected game, team, and player along with it"
        )
    assert told(cells_of("ruling", full=False) | {"player": "a1"}) == []


@pytest.mark.parametrize("kind", ["concern", "case_open", "ruling"])
def test_where_a_player_may_be_left_out(kind: str) -> None:
    cells = says(kind, **{c: OF_KIND.get((kind, c), CELLS[c]) for c in NEEDS[kind][0].split()})
    assert told(cells | {"player": "a1"}) == []
    assert told(cells | {"team": "ash"}) == []
    (fault,) = told(cells | {"number": "1"})
    assert fault.endswith("expected game and team along with the number, to look it up")
    (fault,) = told(cells | {"game": "g1", "team": "ash", "name": "Wren Saltmarsh"})
    assert fault == (
        "name: found 'Wren Saltmarsh'; expected a number along with the name, "
        "or a player id instead"
    )
