"""What a roster's spreadsheet becomes: its columns by heading, its rows as children or remarks."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from ledger.record.new_season import make_id, player_ids
from ledger.record.roster import Roster, gather
from ledger.record.roster_columns import use_of
from ledger.record.roster_layout import Layout, find_blocks, lay_out
from ledger.record.roster_rows import Child, Remark, read_block, read_number
from ledger.record.spreadsheet import Sheet, SheetRow

USUAL = "No. | Name | Team"


def sheet(text: str, name: str = "") -> Sheet:
    """A sheet from lines of cells between bars; a blank line is a blank row."""
    rows = [tuple(cell.strip() for cell in line.split("|")) for line in text.strip().splitlines()]
    return Sheet(
        "r.csv", name, tuple(SheetRow(at, row) for at, row in enumerate(rows, 1) if any(row))
    )


def layout(text: str, chosen: Mapping[str, str] | None = None) -> Layout:
    (block,) = find_blocks(sheet(text))
    return lay_out(block, chosen or {})


def uses(found: Layout) -> dict[str, str]:
    """The letters of the columns, by use."""
    return {use: "+".join(one.letter for one in of) for use, of in found.by_use.items() if of}


def read(text: str, team: str = "Newts") -> tuple[list[Child], list[Remark]]:
    children: list[Child] = []
    remarks: list[Remark] = []
    for block in find_blocks(sheet(text)):
        found = lay_out(block, {})
        assert found.unsure == ()
        more, notes = read_block(block, found, block.titles.team or team)
        children += more
        remarks += notes
    return children, remarks


def short(children: list[Child]) -> list[tuple[str, int | None, str]]:
    return [(child.team, child.number, child.name) for child in children]


def codes(remarks: list[Remark]) -> list[tuple[int, str]]:
    return [(remark.row, remark.code) for remark in remarks]


@pytest.mark.parametrize(
    ("heading", "use"),
    [
        ("Jersey #", "number"), ("Uniform No.", "number"), ("ＮＵＭＢＥＲ", "number"),
        ("Player's Name", "name"), ("LAST NAME", "last"), ("Given name", "first"),
        ("Assigned Team", "team"), ("Weight Class", "division"), ("Age group", "division"),
        ("D.O.B.", "birth"), ("Birth Certificate", "birth"), ("Year of birth", "birth"),
        ("Weight (lbs)", "weight"), ("Last weight", "weight"), ("Wt.", "weight"),
        ("Phone #", ""), ("Helmet #", ""), ("Parent", ""), ("Age", ""), ("", ""),
    ],
)  # fmt: skip
def test_a_heading_says_what_its_column_holds(heading: str, use: str) -> None:
    assert use_of(heading) == use


@pytest.mark.parametrize(
    ("head", "expected"),
    [
        ("Team | Name | No.", {"team": "A", "name": "B", "number": "C"}),
        ("Last | First | # | DOB", {"name": "B+A", "number": "C"}),
        ("Player | First | Last | #", {"name": "B+C", "number": "D"}),
        ("Club | Div | Surname | #", {"association": "A", "division": "B", "name": "C",
                                      "number": "D"}),
    ],
)  # fmt: skip
def test_columns_come_in_any_order(head: str, expected: dict[str, str]) -> None:
    found = layout(f"{head}\n1a | 1b | 1c | 1d")
    assert uses(found) == expected
    assert found.unsure == ()


@pytest.mark.parametrize(
    ("head", "use", "among"),
    [
        ("No. | Jersey # | Name", "number", "AB"),
        ("Name | Player | No.", "name", "AB"),
        ("First | Player | No.", "name", "AB"),
        ("No. | Team | Squad | Name", "team", "BC"),
        ("Name | Team | Phone | DOB", "number", "C"),
        ("No. | Team | Nickname", "name", "C"),
    ],
)
def test_what_is_not_sure_is_asked_and_never_of_a_private_column(
    head: str, use: str, among: str
) -> None:
    """An answer settles it: a letter, a heading, two columns, or none."""
    text = f"{head}\n" + " | ".join(["1a", "1b", "1c", "1d"][: head.count("|") + 1])
    (unsure,) = layout(text).unsure
    assert (unsure.use, "".join(one.letter for one in unsure.among)) == (use, among)
    for answer in (among[-1], unsure.among[-1].heading.upper(), "none"):
        settled = layout(text, {use: answer})
        assert settled.unsure == ()
        assert uses(settled).get(use, "none") in (among[-1], "none")
    assert uses(layout(text, {"name": "A + C"}))["name"] == "A+C"


def test_a_heading_that_its_cells_contradict_is_asked_about() -> None:
    (unsure,) = layout("Jersey | Name\nYM | Pip\nYL | Bo").unsure
    assert (unsure.use, [one.heading for one in unsure.among]) == ("number", ["Jersey"])
    (unsure,) = layout("No. | Player\n1 | 90417").unsure
    assert (unsure.use, [one.heading for one in unsure.among]) == ("name", ["Player"])
    assert layout("No. | Name\n | Pip").unsure == ()


def test_a_private_column_is_never_used_even_if_chosen() -> None:
    for answer in ("C", "Weight"):
        found = layout("No. | Name | Weight\n1 | Pip | 95", {"division": answer})
        assert "division" not in uses(found)
    assert [one.use for one in found.left_out] == ["weight"]


def test_dates_under_any_heading_are_birth_dates() -> None:
    found = layout("No. | Name | Geb.\n1 | Pip | 2014-05-01\n2 | Bo | 5/1/2014")
    assert [one.use for one in found.left_out] == ["birth"]


def test_titles_blank_rows_and_rosters_below_each_other() -> None:
    text = """
Invented League | |
Team: Glimmerfen Newts - Roster 2026 | |
Coach: Bo Marrow | |

No. | Name
1 | Pip Quill

2 | Ana Wick
Mossbottom Marmots
No. | Name
1 | Zoë Ünder
"""
    children, remarks = read(text)
    assert short(children) == [
        ("Glimmerfen Newts", 1, "Pip Quill"),
        ("Glimmerfen Newts", 2, "Ana Wick"),
        ("Mossbottom Marmots", 1, "Zoë Ünder"),
    ]
    assert codes(remarks) == [(1, "above"), (3, "above")]


def test_labels_above_a_heading_say_more_than_the_team() -> None:
    text = """
Team: | Blue Herons | | Division: | Acorn
Coach: | Sam Elder
No. | Name
1 | Pip Quill
2 | Ana Wick
Total: | 2
Team: Red Foxes | Club: Fen
No. | Name
1 | Zoë Ünder
"""
    children, remarks = read(text)
    assert [(one.team, one.division, one.association) for one in children] == [
        ("Blue Herons", "Acorn", ""),
        ("Blue Herons", "Acorn", ""),
        ("Red Foxes", "", "Fen"),
    ]
    assert codes(remarks) == [(2, "above"), (6, "above")]


def test_a_total_where_the_teams_are_is_no_team() -> None:
    children, remarks = read(
        "Team | No. | Name\nNewts | 5 | Pip Quill\nTotal: | 12 |\nSum | 4 | Bo"
    )
    assert short(children) == [("Newts", 5, "Pip Quill"), ("Sum", 4, "Bo")]
    assert codes(remarks) == [(3, "not_taken")]


def test_the_nearest_title_counts() -> None:
    children, _ = read("Team: Newts\nTeam: Marmots\nNo. | Name\n1 | Pip Quill")
    assert [one.team for one in children] == ["Marmots"]
    children, _ = read("Fen League\nNewts\nNo. | Name\n1 | Pip Quill")
    assert [one.team for one in children] == ["Newts"]


def test_a_child_without_a_number_above_the_next_title_is_a_child() -> None:
    children, _ = read("No. | Name\n1 | Pip\n | Bo\nMarmots\nNo. | Name\n1 | Ana", team="Newts")
    assert short(children) == [("Newts", 1, "Pip"), ("Newts", None, "Bo"), ("Marmots", 1, "Ana")]


def test_a_team_between_the_rows_and_a_team_named_once() -> None:
    children, remarks = read("No. | Name\nNewts\n1 | Pip\n2 | Bo\nMarmots\n1 | Ana")
    assert [child.team for child in children] == ["Newts", "Newts", "Marmots"]
    assert codes(remarks) == [(2, "section"), (5, "section")]
    children, remarks = read(f"{USUAL}\n1 | Pip | Newts\n2 | Bo |\n3 | Ana |\n4 | Lu | Marmots")
    assert [child.team for child in children] == ["Newts", "Newts", "Newts", "Marmots"]
    assert codes(remarks) == [(3, "team_from_above"), (4, "team_from_above")]


def test_one_blank_team_among_many_is_no_team() -> None:
    children, remarks = read(f"{USUAL}\n1 | Pip | Newts\n2 | Bo | Newts\n3 | Ana |")
    assert short(children)[-1] == ("", 3, "Ana")
    assert codes(remarks) == [(4, "no_team")]


@pytest.mark.parametrize(
    ("text", "number", "code"),
    [
        ("12", 12, ""), ("0", 0, ""), ("99", 99, ""), ("12.0", 12, ""), ("# 12", 12, ""),
        ("No. 7", 7, ""), ("１２", 12, ""), ("07", 7, "leading_zero"), ("00", 0, "leading_zero"),
        ("", None, "no_number"), ("–", None, "no_number"), ("TBD", None, "no_number"),
        ("100", None, "bad_number"), ("12.5", None, "bad_number"), ("-3", None, "bad_number"),
        ("12A", None, "bad_number"), ("9" * 5000, None, "bad_number"),
        ("Coach", None, "not_a_player"),
    ],
)  # fmt: skip
def test_a_number_as_people_write_it(text: str, number: int | None, code: str) -> None:
    assert read_number(text) == (number, code)


def test_every_row_is_a_child_or_a_remark() -> None:
    text = f"""
{USUAL}
1 | Pip Quill | Newts
x | Bo Wick | Newts
120 | Lu Ember | Newts
Coach | Max Marrow | Newts
 | | Newts
5 | | Newts
6 | Ana, 95 lb, born 2014 | Newts
7 | =Cal Reed | Newts
8 | Ida Reed (2014) 3rd | Newts
9 | Max Born | Newts
Total | 15 |
 | Total: | 60
"""
    children, remarks = read(text)
    assert short(children) == [
        ("Newts", 1, "Pip Quill"),
        ("Newts", None, "Bo Wick"),
        ("Newts", None, "Lu Ember"),
        ("Newts", 5, ""),
        ("Newts", 6, ""),
        ("Newts", 7, "Cal Reed"),
        ("Newts", 8, "Ida Reed 3rd"),
        ("Newts", 9, "Max Born"),
    ]
    assert codes(remarks) == [
        (3, "no_number"),
        (4, "bad_number"),
        (5, "not_taken"),
        (6, "not_taken"),
        (8, "private_name"),
        (9, "sign_dropped"),
        (10, "number_in_name"),
        (12, "not_taken"),
        (13, "not_taken"),
    ]


def test_a_remark_on_a_row_shows_no_number_of_it() -> None:
    """It is kept in a file: a number may be a weight, or a year of birth."""
    _, remarks = read(f"{USUAL}\nCoach | Max | born 2014 | 95 lb | 88\n1 | Pip | Newts")
    assert [remark.about for remark in remarks] == ["Coach, Max"]


def gathered(text: str) -> Roster:
    return gather(read(text)[0])


def test_a_number_given_twice_keeps_both_children() -> None:
    roster = gathered(f"{USUAL}\n1 | Pip | Newts\n1 | Bo | NEWTS\n1 | Ana | Marmots")
    assert [team.name for team in roster.teams] == ["Newts", "Marmots"]
    assert [(child.name, child in roster.on_team) for child in roster.children] == [
        ("Pip", True),
        ("Bo", False),
        ("Ana", True),
    ]
    (remark,) = roster.remarks
    assert (remark.code, remark.row, remark.about, remark.other) == (
        "number_twice",
        3,
        "NEWTS #1 Bo",
        "Newts #1 Pip, row 2",
    )


def test_the_same_row_twice_is_one_child_and_the_same_name_elsewhere_two() -> None:
    roster = gathered(f"{USUAL}\n1 | Pip Q | Newts\n1 | PIP  Q | newts\n3 | Pip q | Marmots")
    assert [child.row for child in roster.children] == [2, 4]
    assert codes(list(roster.remarks)) == [(3, "row_twice"), (4, "on_two_teams")]


def test_names_that_differ_in_a_vowel_sign_are_two_children() -> None:
    """Devanagari ki and kī: the sign is no letter to Unicode."""
    roster = gathered(f"{USUAL}\n | कि | Newts\n | की | Newts")
    assert len(roster.children) == 2


def test_a_team_keeps_its_first_division() -> None:
    text = "No. | Name | Team | Division | Club\n1 | Pip | Newts | | Fen\n2 | Bo | Newts | Oak |\n"
    roster = gathered(text + "3 | Ana | Newts | Acorn | Hill")
    (team,) = roster.teams
    assert (team.division, team.association) == ("Oak", "Fen")
    assert codes(list(roster.remarks)) == [(4, "two_divisions"), (4, "two_associations")]


def test_ids_are_made_of_letters_that_an_id_may_have() -> None:
    taken: list[str] = []
    for name in ("Ünder Öaks 10U", "Under Oaks 10u", "小さな", "大きな", "Unlisted-1", "x" * 90):
        taken.append(make_id(name, taken, "team"))
    assert taken == ["under-oaks-10u", "under-oaks-10u-2", "team-1", "team-2", "team-3", "x" * 40]
    assert player_ids(1200)[-1] == "p1200"
