"""The table of kinds: it agrees with the models, and with the lists that others keep on purpose.

A column that no model shows is held here by another list, made without the table: that of the
audit, of the bundle's checker, or the frozen text of the ledger file.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, get_args

import pytest
from pydantic.fields import FieldInfo

import ledger
from ledger import audit, resources
from ledger.audit import (
    acts,
    authority,
    eligibility,
    forms,
    keys,
    links,
    lists,
    personal,
    signatures,
)
from ledger.derive import signed_list
from ledger.record import kinds, statements
from ledger.record.authority import APPOINT_AT_THE_TABLE, AT_THE_TABLE, OFFICES
from ledger.record.fields import ROLES, Sha256
from ledger.record.kinds import TABLE, Kind
from ledger.review.evidence import check_bundle
from ledger.store.sqlite import forms as written
from ledger.store.sqlite.store import NOT_PER_CHILD
from ledger.witness import check_lists

MODELS = statements.KINDS
PACKAGE = Path(ledger.__file__).parent
each_model = pytest.mark.parametrize("kind", MODELS)


def fields(kind: str) -> dict[str, FieldInfo]:
    return MODELS[kind].model_fields


def values(kind: str) -> tuple[Any, ...]:
    """What `value` may be, where that is a choice."""
    field = fields(kind).get("value")
    return get_args(field.annotation) if field else ()


def test_every_model_has_a_row_and_every_statement_a_model() -> None:
    assert set(kinds.STATEMENTS) == set(MODELS)
    assert len(TABLE) == len(kinds.SETUP) + len(kinds.STATEMENTS) + len(kinds.OWN)


def test_every_other_event_that_the_program_makes_has_a_row() -> None:
    """Setup and the ledger's own events have no model: where they are made, the kind is named."""
    made = {kind for path in PACKAGE.rglob("*.py") for kind in made_in(path)}
    assert made == {*kinds.SETUP, *kinds.OWN, "countersign"}


@each_model
def test_a_kind_is_about_what_its_model_names(kind: str) -> None:
    model, about = MODELS[kind], TABLE[kind].about
    names = {name for name in ("game", "team", "player") if name in fields(kind)}
    if "player" in names:
        assert about == ("perhaps a child" if issubclass(model, statements.MayConcern) else "child")
    elif names and kind != "appoint":  # a role may be for one game, or one team, or neither
        assert about == ("team" if "team" in names else "game")
        assert all(fields(kind)[name].is_required() for name in names)
    else:
        assert about == ""


@each_model
def test_what_a_model_shows_its_row_says(kind: str) -> None:
    model, row = MODELS[kind], TABLE[kind]
    of_roster = issubclass(model, statements.OfRoster | statements.EnterPlayer)
    assert bool(row.roster) == of_roster
    assert bool(row.case) == ("case" in fields(kind))
    assert bool(row.mark) == ({"ok", "over"} <= set(values(kind)))
    assert (row.mark == "scale") == ("no_scale" in values(kind))
    assert row.of_thing == ("reason" in model.personal and row.about == "game")
    assert not row.subject or row.subject in fields(kind)
    if get_args(Sha256)[1] in [one for name in fields(kind) for one in fields(kind)[name].metadata]:
        assert row.file == "value"


@each_model
def test_what_stands_in_a_packet_of_others_names_no_child(kind: str) -> None:
    row = TABLE[kind]
    assert not (row.in_packet and row.about in ("", "child"))
    if row.about in ("game", "team"):
        assert row.in_packet == (kind not in ("assign", "snaps"))


def test_what_touches_a_list_is_about_a_child_or_a_whole_game() -> None:
    """As `derive/signatures.py` tells what changed a list since it was signed."""
    assert set(kinds.ON_LIST) == {*kinds.WEIGHS, "list", "strike_off", "ruling"}
    assert set(kinds.AROUND_LIST) == {*kinds.ROSTER_CHANGES, "initial"}
    assert set(kinds.GAME_ON_LIST) == {"half", "game_change"}


def test_once_for_each_child_and_game_is_only_what_is_about_a_child_in_a_game() -> None:
    assert set(kinds.PER_CHILD) <= set(kinds.TAKES_PART)
    assert all("game" in fields(kind) for kind in kinds.TAKES_PART)


def test_what_moves_a_case_on_and_what_tells_of_it() -> None:
    assert set(kinds.CASE_STATE) == {"case_open", "ruling", "case_close"}
    assert set(kinds.CASE_TELLS) == {*kinds.CASE} - {*kinds.CASE_STATE, "case_refer"}


def test_a_child_is_made_known_by_what_gives_the_name() -> None:
    named = {kind for kind in MODELS if "name" in fields(kind) and TABLE[kind].roster}
    assert set(kinds.BRINGS_IN["player"]) == named | {"player"}
    assert {kind for named in ("team", "game", "case") for kind in kinds.BRINGS_IN[named]} == {
        "team", "game", "case_open",
    }  # fmt: skip


def test_the_index_text_is_the_frozen_one() -> None:
    """A kind that is new in PER_CHILD needs a new form of the file; DEVELOPERS.md says how."""
    ends = f"ON event (kind, subject) WHERE {NOT_PER_CHILD}"
    (of_audit,) = (one.sql for one in forms.FORMS[forms.NEWEST] if one.name == "event_kind")
    assert str(of_audit).endswith(ends)
    assert ends in "".join(strings(Path(written.__file__)))


def test_the_audits_own_lists_are_those_of_the_table() -> None:
    assert set(acts.ROLE_KINDS) == {*kinds.BRINGS_IN["official"], "withdraw"}
    assert set(keys.KEY_KINDS) == set(kinds.KEYS)
    assert set(signatures.ACTS) == set(kinds.ACTS)
    assert set(signatures.TABLES) == set(kinds.SETUP)
    assert set(personal.EXHIBIT_KINDS) == set(kinds.FILES)
    assert eligibility._JOINS == kinds.JOINS
    assert eligibility._TAKES_PART[:2] == kinds.WEIGHS
    assert set(eligibility._TAKES_PART) == {*kinds.PER_CHILD} - {"initial", "strike_off", "stripe"}
    around = {*kinds.ROSTER, *kinds.BRINGS_IN["official"], *kinds.ANYWHERE}
    # a game that is off keeps the list it has
    assert set(lists._EVERYWHERE) == {*around, "league", "game", "withdraw"} - {"game_off"}


@pytest.mark.parametrize("row", TABLE.values(), ids=TABLE)
def test_the_audit_looks_a_kind_up_by_the_same_key(row: Kind) -> None:
    key = links.subject_key(row.name, row.name in MODELS)
    assert key == row.subject or (key == "case" and row.subject == "" and row.name in MODELS)


def test_rosters_and_games_in_sql_are_moved_by_the_same_kinds() -> None:
    joining = {kind for kind in kinds.ROSTER_CHANGES if kinds.JOINS.get(kind)}
    assert named_in("roster_move") == [joining, set(kinds.ROSTER_CHANGES)]
    assert named_in("game") == [set(kinds.SCHEDULE_CHANGES)]


def test_the_bundles_own_checker_knows_the_kinds_with_a_file() -> None:
    assert check_bundle.HANDED_IN == kinds.FILES


def test_the_roles_are_those_of_the_audit() -> None:
    assert {*OFFICES} == authority.ROLES
    assert (authority._APPOINT_HELP, authority._HELP) == (APPOINT_AT_THE_TABLE, AT_THE_TABLE)
    assert {*OFFICES, *APPOINT_AT_THE_TABLE, *AT_THE_TABLE} <= set(ROLES)


def test_who_checks_a_signed_list_knows_the_form_that_is_written() -> None:
    """A proof and the audit are checked without what derives a list, so each has the number."""
    assert signed_list.FORM == check_lists.FORM == lists.FORM


def test_nobody_else_lists_kinds_by_hand() -> None:
    """Four or more in a row are a set that wants a column; words for each kind live in say/, and
    who may enter it on the page in one table of its own.
    """
    apart = {Path(audit.__file__).parent, Path(check_bundle.__file__), Path(kinds.__file__)}
    apart |= {PACKAGE / "say", PACKAGE / "field" / "rights.py"}
    for path in PACKAGE.rglob("*.py"):
        if not apart & {path, *path.parents}:
            assert not list(lists_of_kinds(nodes(path))), path


def test_a_list_by_hand_is_noticed() -> None:
    assert list(
        lists_of_kinds(ast.walk(ast.parse('X = ("weigh", "late_weigh", "list", "plays", 1)')))
    ) == [1]
    assert not list(lists_of_kinds(ast.walk(ast.parse('X = ("weigh", "game", "team", "list")'))))


@cache
def nodes(path: Path) -> tuple[ast.AST, ...]:
    return tuple(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))


def lists_of_kinds(source: Iterable[ast.AST]) -> Iterator[int]:
    """Lines of literals that name four kinds or more; names of setup are column names too."""
    for node in source:
        if isinstance(node, ast.Tuple | ast.List | ast.Set | ast.Dict):
            items = node.keys if isinstance(node, ast.Dict) else node.elts
            named = [one.value for one in items if isinstance(one, ast.Constant)]
            if len({*named} & {*kinds.STATEMENTS, *kinds.OWN}) > 3:
                yield node.lineno


def named_in(view: str) -> list[set[str]]:
    """The kinds in each `kind in (…)` of this file of sql/staging/."""
    text = (resources.folder("sql") / "staging" / f"{view}.sql").read_text(encoding="utf-8")
    return [set(re.findall("'(.+?)'", one)) for one in re.findall(r"kind in \((.*?)\)", text)]


def made_in(path: Path) -> Iterator[Any]:
    """The kinds that this file makes accepted events of."""
    for node in nodes(path):
        match node:
            case ast.Call(func=ast.Name(id="Accepted"), args=[ast.Constant(value=kind), *_]):
                yield kind


def strings(path: Path) -> Iterator[str]:
    for node in nodes(path):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
