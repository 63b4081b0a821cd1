"""Roles for one game, and authority: what an appointment changes, and what it does not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_case, read_game
from ledger.derive.statements import all_statements
from ledger.say.stated import role
from tests.derive.season_cases import Season, grain, season_of

HEADER = "at,entered,kind,game,team,player,by,value,to,case,reason,may_play,ref\n"


def season(tmp_path: Path, lines: str) -> Season:
    return season_of(HEADER + lines, tmp_path / "season")


def both(made: Season, game: str, answer: str) -> list[dict[str, Any]]:
    """Rows of an answer for a game, the same from the season as from the game alone."""
    whole, alone = Engine(made.store.events()), Engine(read_game(made.store, game))
    if answer == "finding":
        rows = [find(engine, game=game).dicts() for engine in (whole, alone)]
    else:
        rows = [engine.answer(answer, game=game).dicts() for engine in (whole, alone)]
    for row in rows[0] + rows[1]:
        row.pop("position", None)  # the place among the events that were read
    assert rows[0] == rows[1]
    return rows[0]


RULED = """\
2026-09-05 12:00,,case_open,g1,ash,a1,ca,,,c1,weigh,,
2026-09-05 13:00,,ruling,g1,ash,a1,ca,decided,,c1,,none,
"""


def may_play(made: Season) -> str:
    rows = both(made, "g1", "eligibility")
    return str(next(row["may_play"] for row in rows if row["player"] == "a1"))


def rules_of(made: Season) -> list[str]:
    return [row["rule"] for row in both(made, "g1", "finding") if "author" in row["rule"]]


@pytest.mark.parametrize(
    ("appoints", "plays", "found"),
    [
        # A coach who appoints himself president and rules changes no answer.
        (
            "2026-09-05 11:00,,appoint,g1,,,ca,ca,division_president,,,,\n",
            "full",
            ["appointed_without_authority", "ruling_without_authority"],
        ),
        # Nor by way of somebody else, whom he made registrar first.
        (
            (
                "2026-09-05 11:00,,appoint,,,,ca,pc,registrar,,,,\n"
                "2026-09-05 11:01,,appoint,g1,,,pc,ca,division_president,,,,\n"
            ),
            "full",
            ["appointed_without_authority", "ruling_without_authority"],
        ),
        # The registrar may appoint him, and by way of somebody else too.
        ("2026-09-05 11:00,,appoint,,,,rg,ca,division_president,,,,\n", "none", []),
        (
            (
                "2026-09-05 11:00,,appoint,,,,rg,pc,association_president,,,,\n"
                "2026-09-05 11:01,,appoint,,,,pc,bm,registrar,,,,\n"
                "2026-09-05 11:02,,appoint,,,,bm,ca,site_official,,,,\n"
            ),
            "none",
            [],
        ),
        # For this game only; for another game only.
        ("2026-09-05 11:00,,appoint,g1,,,rg,ca,site_official,,,,\n", "none", []),
        (
            "2026-09-05 11:00,,appoint,g2,,,rg,ca,site_official,,,,\n",
            "full",
            ["ruling_without_authority"],
        ),
        # Whenever appointed: after the ruling too.
        ("2026-09-06 11:00,,appoint,,,,rg,ca,division_president,,,,\n", "none", []),
        # An appointment that was withdrawn gives nothing.
        (
            (
                "2026-09-05 11:00,,appoint,,,,rg,ca,division_president,,,,made\n"
                "2026-09-05 11:30,,withdraw,,,,rg,,,,a mistake,,\n"
            ),
            "full",
            ["ruling_without_authority"],
        ),
    ],
)
def test_who_may_rule(tmp_path: Path, appoints: str, plays: str, found: list[str]) -> None:
    header = HEADER.rstrip() + ",target\n"
    lines = [
        line + ("made" if ",withdraw," in line else "")
        for line in (one + "," for one in (appoints + RULED).splitlines())
    ]
    made = season_of(header + "\n".join(lines) + "\n", tmp_path / "season")
    assert may_play(made) == plays
    assert rules_of(made) == found


def test_a_role_for_a_game_rules_where_the_case_asks_about_that_game(tmp_path: Path) -> None:
    """No matter what the ruling names: the case asks about g2, the ruling is about g1."""
    lines = (
        "2026-09-05 11:00,,appoint,{},,,rg,ca,site_official,,,,\n"
        "2026-09-05 12:00,,case_open,g2,,,ca,,,c1,weigh,,\n"
        "2026-09-05 13:00,,ruling,g1,ash,a1,ca,decided,,c1,,none,\n"
    )
    assert may_play(season(tmp_path / "g2", lines.format("g2"))) == "none"
    assert may_play(season(tmp_path / "g1", lines.format("g1"))) == "full"


AT_THE_TABLE = """\
2026-09-05 08:00,,appoint,{game},ash,,so,pc,weighmaster,,,,
2026-09-05 09:50,,at_scale,g1,ash,,pc,,,,,,
2026-09-05 09:51,,countersign,g1,ash,,pc,,,,,,
2026-09-05 09:52,,late_weigh,g1,ash,a1,pc,ok,,,,,
"""


@pytest.mark.parametrize(("game", "holds"), [("g1", True), ("", True), ("g2", False)])
def test_a_weighmaster_for_a_game_is_one_in_that_game_only(
    tmp_path: Path, game: str, holds: bool
) -> None:
    made = season(tmp_path, AT_THE_TABLE.format(game=game))
    duty = both(made, "g1", "scale_duty")
    assert [r["is_own_weighmaster"] for r in duty if r["official"] == "pc"] == [holds]
    signed = [row["official"] for row in both(made, "g1", "list_signatures")]
    assert signed.count("pc") == holds
    own_side = [r for r in both(made, "g1", "finding") if r["rule"] == "weighed_by_own_side"]
    assert bool(own_side) == holds


def test_a_season_role_and_one_for_a_game_are_one_signature(tmp_path: Path) -> None:
    once = "2026-09-05 08:00,,appoint,{},ash,,so,pc,weighmaster,,,,\n"
    lines = AT_THE_TABLE.format(game="g1") + once.format("")
    made = season(tmp_path, lines)
    assert [r["official"] for r in both(made, "g1", "list_signatures")].count("pc") == 1
    assert [r["official"] for r in both(made, "g1", "scale_duty")].count("pc") == 1


def test_a_coach_for_a_game_coaches_there(tmp_path: Path) -> None:
    line = "2026-09-05 08:00,,appoint,{},elm,,rg,wa,coach,,,,\n"
    for game, found in (("g1", [{"game": "g1", "official": "wa"}]), ("g2", [])):
        made = season(tmp_path / game, line.format(game))
        rows = [r for r in both(made, "g1", "finding") if r["rule"] == "weighmaster_is_coach"]
        assert grain(rows) == found


def test_roles_are_told_for_the_game_they_are_held_in(tmp_path: Path) -> None:
    made = season(
        tmp_path,
        AT_THE_TABLE.format(game="g1")
        + "2026-09-12 09:50,,at_scale,g2,ash,,pc,,,,,,\n"
        + "2026-09-05 11:00,,appoint,g1,,,ca,pc,division_president,,,,\n",
    )
    statements = [one for one in all_statements(Engine(made.store.events())) if one.by == "pc"]
    assert [role(one) for one in statements[-1].roles] == ["play counter"]
    assert [role(one) for one in statements[-2].roles] == [
        "division president in g1 (appointment not confirmed)",
        "play counter",
        "weighmaster of ash in g1",
    ]


def test_a_case_has_the_roles_of_the_game_it_asks_about(tmp_path: Path) -> None:
    lines = (
        "2026-09-05 11:00,,appoint,g1,ash,,so,pc,weighmaster,,,,\n"
        "2026-09-05 11:00,,appoint,g2,elm,,so,pc,weighmaster,,,,\n"
        "2026-09-05 11:00,,appoint,g1,,,ca,pc,division_president,,,,\n"
        "2026-09-05 12:00,,case_open,g1,,,pc,,,c1,weigh,,\n"
    )
    made = season(tmp_path, lines)
    (row,) = Engine(read_case(made.store, "c1")).answer("case_timeline").dicts()
    assert row["roles"] == ["play_counter", "weighmaster"]
    assert row["capacity"] == (
        "division president in g1 (appointment not confirmed), play counter, "
        "weighmaster of ash in g1"
    )
