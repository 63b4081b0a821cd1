"""What is true of all findings; each rule has its seasons in tests/seasons/."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.derive.engine import Engine
from ledger.derive.findings import find, rules
from ledger.derive.season_counts import child_rules
from ledger.errors import InputError
from ledger.review.routes import question_of_finding
from tests.derive.season_cases import grain, season_of

LATE = """\
at,entered,kind,game,team,player,by,reason,ref
2026-09-06 12:00,2026-09-06 13:00,roster_add,,fir,a3,rg,,roster
2026-09-12 09:00,2026-09-12 10:00,concern,g2,,,so,cleats,second
2026-09-12 08:00,2026-09-12 09:00,concern,g2,,,so,cleats,first
2026-09-05 12:00,2026-09-12 13:00,concern,g1,,,so,cleats,game-1
"""


def test_order_kickoff_then_rule_then_at_and_no_game_last(tmp_path: Path) -> None:
    season = season_of(LATE, tmp_path / "season")
    found = find(Engine(season.store.events()), rule="entered_late").dicts()
    expected = [season.event(ref) for ref in ("game-1", "first", "second", "roster")]
    assert [row["events"] for row in found] == [[event.id] for event in expected]
    assert [row["game"] for row in found] == ["g1", "g2", "g2", None]


def test_a_game_that_moves_before_another_comes_first(tmp_path: Path) -> None:
    moved = LATE.replace("ref\n", "ref,kickoff\n").replace("roster\n", "roster,\n")
    moved += "2026-08-01 12:00,2026-08-01 12:00,game_change,g2,,,so,heat,,2026-08-29 10:00\n"
    moved = "\n".join(line + "," * (9 - line.count(",")) for line in moved.splitlines())
    season = season_of(moved, tmp_path / "season")
    found = find(Engine(season.store.events()), rule="entered_late").dicts()
    assert [row["game"] for row in found] == ["g2", "g2", "g1", None]


@pytest.mark.parametrize(
    ("entered", "told"),
    [
        ("2026-09-05 13:59", "119 minutes"),
        ("2026-09-05 14:00", "2 hours"),
        ("2026-09-07 11:59", "47 hours"),
        ("2026-09-07 12:00", "2 days"),
        ("2026-09-10 11:00", "4 days"),
    ],
)
def test_how_late_is_told_in_the_largest_unit_of_two_or_more(
    tmp_path: Path, entered: str, told: str
) -> None:
    line = f"at,entered,kind,game,by,reason\n2026-09-05 12:00,{entered},concern,g1,so,cleats\n"
    season = season_of(line, tmp_path / "season")
    (row,) = find(Engine(season.store.events()), rule="entered_late").dicts()
    assert row["detail"] == f"Written down {told} after it happened."


def test_one_game_leaves_out_what_has_no_game(tmp_path: Path) -> None:
    season = season_of(LATE, tmp_path / "season")
    engine = Engine(season.store.events())
    assert {row["game"] for row in find(engine, game="g2", rule="entered_late").dicts()} == {"g2"}
    assert find(engine, team="ash", rule="entered_late").rows == []
    assert len(find(engine, rule="entered_late").rows) == 4


def test_no_rule_finds_nothing_in_the_same_columns() -> None:
    engine = Engine([])
    assert find(engine, among=()) == find(engine, rule="entered_late")
    assert find(engine, among=()).columns[-1] == "detail"


def test_text_is_in_code_point_order(tmp_path: Path) -> None:
    """By hand: capital letters before small ones, in any locale."""
    lines = """\
at,kind,game,team,player,name,by,reason
2026-09-01 12:00,enter_player,,,B1,Invented Seventh,rg,
2026-09-05 09:45,list,g1,ash,B1,,wa,other
2026-09-05 09:45,list,g1,ash,e1,,wa,other
"""
    season = season_of(lines, tmp_path / "season")
    found = find(Engine(season.store.events()), rule="not_on_roster").dicts()
    assert [row["player"] for row in found] == ["B1", "e1"]


def test_several_statements_stand_in_ledger_order(tmp_path: Path) -> None:
    lines = """\
at,kind,game,team,player,by,value,ref
2026-09-05 09:43,weigh,g1,ash,a1,we,ok,later
2026-09-05 09:42,weigh,g1,ash,a1,we,ok,earlier
"""
    season = season_of(lines, tmp_path / "season")
    [row] = find(Engine(season.store.events()), rule="weighed_too_often").dicts()
    ids = [season.event(ref).id for ref in ("weigh-a1", "later", "earlier")]
    assert (row["events"], row["at"]) == (ids, None)


def test_a_game_that_is_off_has_no_findings(tmp_path: Path) -> None:
    lines = LATE.replace("ref\n", "ref,target\n").replace("roster\n", "roster,\n")
    lines += "2026-09-05 12:00,2026-09-05 12:00,withdraw,,,,so,mistaken,,stripe-e2\n"
    lines += "2026-09-05 12:00,2026-09-07 12:00,game_off,g1,,,so,storm,,\n"
    lines = "\n".join(line + "," * (9 - line.count(",")) for line in lines.splitlines())
    season = season_of(lines, tmp_path / "season")
    found = find(Engine(season.store.events())).dicts()
    assert {row["game"] for row in found} == {"g2", None}


def test_initials_of_a_game_that_is_off_stay_in_the_book(tmp_path: Path) -> None:
    lines = """\
at,kind,game,team,player,by,value,initials,reason,ref
2026-09-05 12:00,game_off,g1,,,so,,,storm,
2026-09-12 09:40,initial,g2,ash,a1,we,ok,WE,,again
"""
    season = season_of(lines, tmp_path / "season")
    found = find(Engine(season.store.events()), rule="book_initialed_again").dicts()
    assert [row["events"] for row in found] == [[season.event("again").id]]


WITHDRAWN = """\
at,entered,kind,game,team,player,by,value,target,reason,ref
2026-09-05 09:42,2026-09-05 10:00,weigh,g1,ash,a1,we,ok,,,second
2026-09-06 12:00,2026-09-06 12:00,withdraw,,,,we,,second,mistaken,undone
2026-09-07 12:00,2026-09-07 12:00,withdraw,,,,we,,undone,not mistaken,
"""


@pytest.mark.parametrize(
    ("as_of", "is_found"),
    [
        ("2026-09-05T14:59:59.999Z", False),  # not written down yet
        ("2026-09-05T15:00:00.000Z", True),
        ("2026-09-06T17:00:00.000Z", False),  # withdrawn
        ("2026-09-07T17:00:00.000Z", True),  # the withdrawal withdrawn
        (None, True),
    ],
)
def test_as_of(tmp_path: Path, as_of: str | None, is_found: bool) -> None:
    season = season_of(WITHDRAWN, tmp_path / "season")
    engine = Engine(season.store.events(), as_of=as_of)
    assert bool(find(engine, rule="weighed_too_often").rows) == is_found


def test_withdrawing_a_withdrawal_of_another_has_no_game(tmp_path: Path) -> None:
    lines = """\
at,kind,by,target,reason,ref
2026-09-06 12:00,withdraw,wa,stripe-e2,mistaken,undone
2026-09-07 12:00,withdraw,so,undone,not mistaken,restored
"""
    season = season_of(lines, tmp_path / "season")
    [row] = find(Engine(season.store.events()), rule="withdrawn_by_other").dicts()
    assert (row["game"], row["events"]) == (None, [season.event("restored").id])


def test_a_case_without_a_game(tmp_path: Path) -> None:
    lines = """\
at,kind,by,case,reason,value
2026-09-05 12:00,case_open,ap,c1,roster,
2026-09-13 12:00,case_statement,ap,c1,,
2026-09-14 12:00,ruling,so,c1,,denied
"""
    season = season_of(lines, tmp_path / "season")
    found = find(Engine(season.store.events())).dicts()
    assert grain(found) == [{"case": "c1"}, {}]
    assert [row["rule"] for row in found] == ["case_overdue", "ruling_without_authority"]


# Tolerances of NIST Handbook 44 (2023) 2.20 Table 6, class III (quoted): 1, 2 and 5 divisions.
@pytest.mark.parametrize(
    ("load", "division", "tolerance"),
    [("250.0", "0.5", "0.50"), ("250.5", "0.5", "1.00"), ("500.0", "0.05", "0.25")],
)
def test_a_check_passes_up_to_and_with_the_tolerance(
    tmp_path: Path, load: str, division: str, tolerance: str
) -> None:
    hundredths = round(float(load) * 100), round(float(tolerance) * 100)
    readings = [
        hundredths[0] + sign * (hundredths[1] + more) for sign in (1, -1) for more in (0, 1)
    ]
    lines = "at,kind,game,by,reading,limit,ref\n" + "".join(
        f"2026-09-12 09:0{n},station,g2,so,{reading // 100}.{reading % 100:02},100,s{n}\n"
        for n, reading in enumerate(readings)
    )
    league = f"[weigh_in]\ncheck_weight_lb = {load}\nscale_division_lb = {division}\n"
    season = season_of(lines, tmp_path / "season", league=league)
    found = find(Engine(season.store.events()), game="g2", rule="check_weight_off").dicts()
    assert [row["events"] for row in found] == [[season.event(ref).id] for ref in ("s1", "s3")]


def test_adding_a_rule_is_adding_one_file(sql_copy: Path, tmp_path: Path) -> None:
    season = season_of("at,kind,by\n", tmp_path / "season")
    rule = (sql_copy / "findings" / "carrier_striped.sql").read_text(encoding="utf-8")
    rule = rule.replace("counts_value = 'ok'", "counts_value = 'over'")
    (sql_copy / "findings" / "noncarrier_striped.sql").write_text(rule, encoding="utf-8")
    assert "noncarrier_striped" in rules()
    engine = Engine(season.store.events())
    found = find(engine).dicts()
    assert [(row["rule"], row["player"]) for row in found] == [("noncarrier_striped", "e2")]
    assert "noncarrier_striped" in child_rules()
    assert question_of_finding(engine, "noncarrier_striped").reason == "weigh"


@pytest.mark.parametrize(
    ("rule", "hint"),
    [
        ("plays_shrot", "Did you mean plays_short?"),
        ("zzz", "The rules: appointed_without_auth"),
    ],
)
def test_an_unknown_rule_is_refused(tmp_path: Path, rule: str, hint: str) -> None:
    season = season_of("at,kind,by\n", tmp_path / "season")
    with pytest.raises(InputError, match=f"no rule {rule}") as caught:
        find(Engine(season.store.events()), rule=rule)
    assert caught.value.hint.startswith(hint)
