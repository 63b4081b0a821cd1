"""A case as text: what each line of its timeline says of the entry's standing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.review.cases import Exhibit, list_cases, look_up_case
from ledger.say.cases import case_text, stands
from tests.review.cases_of import adds, opens, season

ZONE = "America/Chicago"


def timeline(tmp_path: Path, *lines: dict[str, str]) -> str:
    with season(tmp_path, opens(), *lines) as store:
        return case_text(look_up_case(store, "c1"), ZONE).split("\n\n")[1]


def test_a_ruling_by_a_reviewer_has_no_remark(tmp_path: Path) -> None:
    text = timeline(tmp_path, adds("ruling", by="so", value="denied"))
    assert text.splitlines()[-1].endswith("so (site official): Ruled: denied.")


def test_a_ruling_has_the_words_of_the_decision_form(tmp_path: Path) -> None:
    """The papers said “decided otherwise”, `case list` and `case show` “decided”."""
    ruling = adds("ruling", by="so", value="decided", game="g1", team="ash", player="a2",
                  may_play="full")  # fmt: skip
    with season(tmp_path, opens(), ruling, adds("case_close")) as store:
        text = " ".join(case_text(look_up_case(store, "c1"), ZONE).split())
        _, (row,) = list_cases(store)
    assert "Rulings decided otherwise, by so (office:" in text
    assert ": Ruled: decided otherwise. ash 2 in g1 may play." in text
    assert stands(row, ZONE, "2026-09-06T00:00:00.000Z") == "closed: decided otherwise"


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


def test_a_long_line_of_an_exhibit_or_a_finding_goes_on_below_its_text(tmp_path: Path) -> None:
    with season(tmp_path, opens()) as store:
        case = look_up_case(store, "c1")
    name = " ".join(["a sheet with a long name"] * 4)
    exhibit = Exhibit("ab" * 32, "office:9", "ca", name, "cd" * 32)
    finding = {"rule": "not_weighed", "game": "g1", "team": "ash", "player": "a2", "detail": name}
    text = case_text(replace(case, exhibits=(exhibit,), findings=(finding,)), ZONE)
    *_, exhibits, findings = text.split("\n\n")
    assert indents(exhibits) == [0, 2, 4, 4, 4, 4]
    assert indents(findings) == [0, 2, 4]


def test_a_finding_names_the_child_of_the_case_by_number_and_another_by_id(tmp_path: Path) -> None:
    with season(tmp_path, opens()) as store:
        case = look_up_case(store, "c1")
    found = [
        {"rule": "unaccounted", "game": "g1", "team": "ash", "player": player, "detail": "So."}
        for player in ("a2", "a1", None)
    ]
    found.append(
        {"rule": "case_overdue", "game": None, "team": None, "player": None, "detail": "So."}
    )
    section = case_text(replace(case, findings=tuple(found)), ZONE).split("\n\n")[-1]
    assert section.splitlines()[1:] == [
        "  unaccounted (ash 2): So.",
        "  unaccounted (ash a1): So.",
        "  unaccounted (ash): So.",
        "  case_overdue: So.",
    ]


def indents(section: str) -> list[int]:
    return [len(line) - len(line.lstrip()) for line in section.splitlines()]


STATES = {
    "Open. With the site official; next, the head official.": {
        "with_role": "site_official", "next_reviewer": "head_official",
    },
    "Open. With the head official.": {
        "with_role": "head_official", "next_reviewer": "head_official",
    },
    "Ruled: denied. Not closed yet; next would be the head official.": {
        "state": "ruled", "ruling": "denied", "next_reviewer": "head_official",
    },
    "Ruled: denied. Not closed yet.": {
        "state": "ruled", "ruling": "denied", "next_reviewer": None,
    },
    "Closed. Ruled: decided otherwise.": {"state": "closed", "ruling": "decided"},
    "Closed. Ruled: denied.": {"state": "closed", "ruling": "denied"},
    "Closed. No ruling by its reviewers.": {"state": "closed", "ruling": None},
    "The question was withdrawn.": {"state": "withdrawn"},
}  # fmt: skip


@pytest.mark.parametrize("words", STATES)
def test_the_state_of_a_case(tmp_path: Path, words: str) -> None:
    with season(tmp_path, opens()) as store:
        case = look_up_case(store, "c1")
    head = case_text(replace(case, **STATES[words]), ZONE).split("\n\n")[0]
    (state,) = [line for line in head.splitlines() if line.startswith("State")]
    assert state.removeprefix("State").strip() == words
