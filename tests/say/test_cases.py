"""A case as text: what each line of its timeline says of the entry's standing."""

from __future__ import annotations

from pathlib import Path

from ledger.review.cases import look_up_case
from ledger.say.cases import case_text
from tests.review.cases_of import adds, opens, season

ZONE = "America/Chicago"


def timeline(tmp_path: Path, *lines: dict[str, str]) -> str:
    with season(tmp_path, opens(), *lines) as store:
        return case_text(look_up_case(store, "c1"), ZONE).split("\n\n")[1]


def test_a_ruling_by_a_reviewer_has_no_remark(tmp_path: Path) -> None:
    text = timeline(tmp_path, adds("ruling", by="so", value="denied"))
    assert text.splitlines()[-1].endswith("so (site official): Ruled: denied.")


def test_a_ruling_by_somebody_else_is_marked(tmp_path: Path) -> None:
    text = " ".join(timeline(tmp_path, adds("ruling", by="ca", value="denied")).split())
    assert "ca (coach of ash): Ruled: denied. Not by a reviewer of this case, so it" in text


def test_what_was_said_stands_below_its_entry(tmp_path: Path) -> None:
    words = "He said this. " * 8
    lines = timeline(tmp_path, adds("case_statement", by="ca", note=words.strip())).splitlines()
    at = next(number for number, line in enumerate(lines) if "ca (coach of ash)" in line)
    assert lines[at].startswith("  office:")
    said = lines[at + 1 :]
    assert len(said) == 2
    assert all(line.startswith("    ") and not line.startswith("     ") for line in said)
