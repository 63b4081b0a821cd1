"""Every kind of entry is said again after recording, without a child's name."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from ledger.derive import scope
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.record.statements import KINDS
from ledger.say import recorded
from ledger.say.recorded import recorded_lines
from ledger.store.opening import open_store
from ledger.store.store import Stored
from tests.record.kinds import FIRST, cells_of, personal_of
from tests.tiny import day, says, statements, tiny_store, write_folder


def said_again(tmp_path: Path, *lines: dict[str, str]) -> list[list[str]]:
    with tiny_store(write_folder(tmp_path / "season", day=day(*FIRST, *lines))) as store:
        return [
            [line.text for line in recorded_lines(store, event.id, "America/Chicago")]
            for event in statements(store)[len(FIRST) :]
        ]


def test_every_kind_is_said_again_without_personal_text(tmp_path: Path) -> None:
    lines = [cells_of(kind, full=True) for kind in KINDS]
    for cells, said in zip(lines, said_again(tmp_path, *lines), strict=True):
        assert f"by {cells['by']}." in said[0]
        for text in personal_of(cells).values():
            assert text not in " ".join(said), cells["kind"]


def test_a_player_by_id_is_shown_with_the_number(tmp_path: Path) -> None:
    weigh = says("weigh", game="g1", team="ash", player="a2", value="over")
    elsewhere = says("roster_add", team="elm", player="a2", number=7)
    stripe = says("stripe", game="g1", team="ash", player="u1")
    firsts = [said[0].partition(". Sat")[0] for said in said_again(tmp_path, weigh, elsewhere)]
    assert firsts == [
        "g1, ash 2 (a2). Weighed: over the carrier limit",
        "elm 7 (a2). Added to the roster as number 7",
    ]
    assert said_again(tmp_path, stripe)[0][0].startswith("g1, ash (u1). The helmet was striped.")


def test_a_case_is_named(tmp_path: Path) -> None:
    opened = says("case_open", case="x1", reason="weigh", by="wa")
    said = says("case_statement", case="x1", note="Told by nobody.", by="ca")
    ruled = says("ruling", case="x1", value="denied", by="so")
    firsts = [one[0].partition(". Sat")[0] for one in said_again(tmp_path, opened, said, ruled)]
    assert firsts == [
        "Case x1 opened, about the weigh-in",
        "case x1. Said",
        "Ruling in case x1: denied",
    ]


TO = {"value": "bo", "name": "Bo Yarrow"}
ASK_ALL = "Ask the registrar, a president, a board member or the site official."


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        (
            {"to": "weighmaster", "team": "ash", "game": "g1", "by": "so"},
            "Appointed as weighmaster of ash, for g1 only. This appointment gives authority.",
        ),
        (
            {"to": "registrar", "by": "dp"},
            "Appointed as registrar. This appointment gives authority.",
        ),
        (
            {"to": "division_president", "by": "pc"},
            (
                "This appointment gives no authority: pc may not appoint a division president. "
                "Ask the registrar or a president."
            ),
        ),
        (
            {"to": "association_president", "by": "so", "game": "g1"},
            (
                "This appointment gives no authority: "
                "so may not appoint an association president. Ask the registrar or a president."
            ),
        ),
        (
            {"to": "play_counter", "by": "wa"},
            f"This appointment gives no authority: wa may not appoint a play counter. {ASK_ALL}",
        ),
        (
            {"to": "weighmaster", "team": "ash", "by": "dp", "value": "dp"},
            f"This appointment gives no authority: officials do not appoint themselves. {ASK_ALL}",
        ),
    ],
)
def test_an_appointment_says_whether_it_gives_authority(
    tmp_path: Path, cells: dict[str, str], expected: str
) -> None:
    """In g1; also when the game is called off and has no findings."""
    appoint = says("appoint", **(TO | cells))
    ((_, said),) = said_again(tmp_path, appoint)
    assert said == expected
    off = says("game_off", game="g1", reason="storm", by="so")
    assert said_again(tmp_path, off, appoint)[1][1] == expected


CASE = says("case_open", case="x1", reason="weigh", by="wa")
PROTEST = says("case_open", case="x1", reason="protest", game="g1", by="wa", at="2026-09-15T08:00")
HALF = says("half", game="g1", half=2, by="so", at="2026-09-05T12:00")
LISTED = says("list", game="g1", team="ash", player="a2", reason="injured", by="wa")
WEIGHED = says("weigh", game="g1", team="ash", player="a2", value="ok", at="2026-09-05T08:50")
OVER = says("weigh", game="g1", team="ash", player="a2", value="over", at="2026-09-05T08:50")
AFTER = "2026-12-01T08:00"
SLIPS = {
    "ruling_without_authority": [CASE, says("ruling", case="x1", value="upheld", by="wa")],
    "protest_late": [HALF, PROTEST],
    "entered_late": [
        says("roster_add", team="elm", player="u1", number=7, by="rg", entered="2026-09-09T08:40")
    ],
    "stated_after_close": [
        says("season_close", by="dp", at="2026-11-30T08:00"),
        says("roster_drop", team="elm", player="e2", by="rg", at=AFTER),
    ],
    "withdrawn_by_other": [
        CASE | {"ref": "it"},
        says("withdraw", target="it", reason="mistaken", by="ca"),
    ],
    "injured_but_weighed": [LISTED, WEIGHED],
}


@pytest.mark.parametrize("rule", SLIPS)
def test_a_slip_is_a_finding_about_it_with_or_without_a_game(tmp_path: Path, rule: str) -> None:
    last = said_again(tmp_path, *SLIPS[rule])[-1]
    [found] = [line for line in last if line.startswith("Findings about it: ")]
    assert rule in found.removeprefix("Findings about it: ").removesuffix(".").split(", ")


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ([WEIGHED], "Still to do: initial the book."),
        (
            [OVER],
            "Still to do: initial the book, list the player as over, stripe the helmet.",
        ),
        (
            [LISTED | {"reason": "absent"}, WEIGHED],
            "Still to do: initial the book, strike the player off the list.",
        ),
        (
            [LISTED | {"reason": "over"}, WEIGHED],
            "Still to do: initial the book, strike the player off the list.",
        ),
        (
            [WEIGHED | {"value": "no_scale"}],
            "Still to do: get a decision on whether the player may carry.",
        ),
        (
            [WEIGHED, says("plays", game="g1", team="ash", player="a2", half=1, count=1, by="pc")],
            "Still to do: give the player the plays that are due.",
        ),
    ],
)
def test_a_step_that_comes_later_is_no_finding_about_it(
    tmp_path: Path, lines: list[dict[str, str]], expected: str
) -> None:
    last = said_again(tmp_path, *lines)[-1]
    assert last[1:] == [expected]


def test_a_finding_of_another_case_or_player_is_not_about_it(tmp_path: Path) -> None:
    """The end of the game is part of a protest's finding, not a slip."""
    half = {"entered": "2026-09-05T12:01"}
    assert len(said_again(tmp_path, PROTEST, HALF | half)[-1]) == 1


def test_no_rule_is_left_out_that_has_a_finding_about_it(sample_ledger: Path) -> None:
    """Only rules that can be about the statement run, and none is missed."""
    with closing(open_store(sample_ledger)) as store:
        stored = list(store.events())
    stated = {one.id: one.event for one in stored}
    about = [
        (row["rule"], stated[event])
        for row in find(Engine(stored)).dicts()
        for event in row["events"]
        if recorded._is_about(row, stated[event])
    ]
    assert len({event.kind for _, event in about}) > 5
    for rule, event in about:
        assert rule in recorded._rules_about(event)


@pytest.mark.parametrize("kind", ["weigh", "roster_add", "appoint", "season_close"])
def test_the_echo_reads_a_game_at_most(
    sample_ledger: Path, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of 7,350 events it reads those of the game, or of the official and their appointments."""
    store = open_store(sample_ledger)
    *_, stored = store.events(kind=[kind])
    read = []
    monkeypatch.setattr(scope._Found, "in_order", _counted(scope._Found.in_order, read))
    recorded_lines(store, stored.id, "America/Chicago")
    assert 0 < max(read) < (1_000 if stored.event.game else 100)
    store.close()


def _counted(
    in_order: Callable[[scope._Found], list[Stored]], read: list[int]
) -> Callable[[scope._Found], list[Stored]]:
    def counted(found: scope._Found) -> list[Stored]:
        stored = in_order(found)
        read.append(len(stored))
        return stored

    return counted
