"""What was recorded is said again, whatever its kind, and without a child's name."""

from __future__ import annotations

from pathlib import Path

from ledger.papers.recorded import recorded_lines
from ledger.record.statements import KINDS
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


def test_a_player_by_id_is_told_with_the_number(tmp_path: Path) -> None:
    weigh = says("weigh", game="g1", team="ash", player="a2", value="over")
    elsewhere = says("roster_add", team="elm", player="a2", number=7)
    stripe = says("stripe", game="g1", team="ash", player="u1")
    firsts = [said[0].partition(". Sat")[0] for said in said_again(tmp_path, weigh, elsewhere)]
    assert firsts == [
        "g1, ash 2 (a2). Weighed: over the limit",
        "elm 7 (a2). Put on the roster as 7",
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
