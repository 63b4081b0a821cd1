"""Appointments of every kind before a ruling: without authority, no answer changes.

The ledger is the signed morning of the attacks: number 1 of ash may not carry in g1. A case asks;
the ruling says that he may. Only where the ruler's role was given with authority does it count.
"""

from __future__ import annotations

from typing import NamedTuple

import pytest

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.store.sqlite.store import SqliteStore
from tests.audit.attacks.signed_morning import SET_BACK, Command, after

AT = "2026-09-14T12:00:00Z"
TENT = ("tent", SET_BACK)


def says(kind: str, by: str, *where: str, **cells: str) -> Command:
    return Command({"kind": kind, "by": by, "at": AT, "entered": AT} | cells, *where)


def appoint(by: str, value: str, to: str, *where: str, **cells: str) -> Command:
    return says("appoint", by, *where, value=value, to=to, **cells)


def undo(target: str) -> Command:
    return says("withdraw", "rg", target=target, reason="a slip")


DP, RG = "division_president", "registrar"
CASE = says("case_open", "ca", case="c1", reason="weigh", game="g1", team="ash", player="a1")
RULING = says("ruling", "we", case="c1", value="upheld", game="g1", team="ash", player="a1",
              may_carry="yes")  # fmt: skip
NAMED = {"name": "Nell Farrow"}


class Kind(NamedTuple):
    """What is recorded, how many appoints are without authority, and whether the ruling counts."""

    commands: list[Command]
    without_authority: int
    counts: bool = False


KINDS = {
    "nobody appointed": Kind([CASE, RULING], 0),
    "oneself": Kind([appoint("we", "we", DP), CASE, RULING], 1),
    "oneself, after the ruling": Kind([CASE, RULING, appoint("we", "we", DP)], 1),
    "oneself, for this game": Kind([appoint("we", "we", DP, game="g1"), CASE, RULING], 1),
    "oneself, in a chain set back": Kind([appoint("we", "we", DP, *TENT), CASE, RULING], 1),
    "by a coach": Kind([appoint("ca", "we", DP), CASE, RULING], 1),
    "by a weighmaster for a new official, who appoints": Kind(
        [appoint("wa", "nf", RG, **NAMED), appoint("nf", "we", DP), CASE, RULING], 2
    ),
    "by a site official": Kind([appoint("so", "we", DP), CASE, RULING], 1),
    "by each other": Kind(
        [appoint("we", "wa", RG), appoint("wa", "we", DP), CASE, RULING], 2
    ),
    "oneself registrar, then a friend": Kind(
        [appoint("wa", "wa", RG), appoint("wa", "we", DP), CASE, RULING], 2
    ),
    "by somebody who only then was given authority": Kind(
        [appoint("wa", "we", DP), appoint("rg", "wa", RG), CASE, RULING], 1
    ),
    "by somebody given authority, under a clock set back": Kind(
        [appoint("rg", "wa", RG), appoint("wa", "we", DP, *TENT), CASE, RULING], 1
    ),
    "as no reviewer": Kind([appoint("rg", "we", "board_member"), CASE, RULING], 0),
    "for another game": Kind([appoint("rg", "we", DP, game="g2"), CASE, RULING], 0),
    "withdrawn": Kind([appoint("rg", "we", DP), undo("@1"), CASE, RULING], 0),
    "withdrawn later": Kind([appoint("rg", "we", DP), CASE, RULING, undo("@1")], 0),
    "whose appointer was withdrawn": Kind(
        [appoint("rg", "wa", RG), appoint("wa", "we", DP), CASE, RULING, undo("@1")], 1
    ),
    "by the registrar": Kind([appoint("rg", "we", DP), CASE, RULING], 0, counts=True),
    "by the registrar, after the ruling": Kind(
        [CASE, RULING, appoint("rg", "we", DP)], 0, counts=True
    ),
    "by the registrar, for this game": Kind(
        [appoint("rg", "we", DP, game="g1"), CASE, RULING], 0, counts=True
    ),
    "by whom the registrar appointed": Kind(
        [appoint("rg", "wa", RG), appoint("wa", "we", DP), CASE, RULING], 0, counts=True
    ),
    "withdrawn, and that withdrawn": Kind(
        [appoint("rg", "we", DP), undo("@1"), undo("@2"), CASE, RULING], 0, counts=True
    ),
}  # fmt: skip


def seen(store: SqliteStore) -> tuple[list[dict[str, object]], dict[str, int]]:
    """Eligibility in g1, and how often each of the two findings is raised."""
    engine = Engine(store.events())
    rows = engine.answer("eligibility", game="g1").dicts()
    rules = ("appointed_without_authority", "ruling_without_authority")
    found = {rule: len(find(engine, rule=rule).dicts()) for rule in rules}
    engine.close()
    return rows, found


@pytest.fixture(scope="module")
def before() -> list[dict[str, object]]:
    with after([]) as (store, _):
        return seen(store)[0]


@pytest.mark.parametrize("name", KINDS)
def test_no_answer_changes_without_authority(name: str, before: list[dict[str, object]]) -> None:
    kind = KINDS[name]
    with after(kind.commands) as (store, _):
        rows, found = seen(store)
    assert (rows != before) is kind.counts
    assert found == {
        "appointed_without_authority": kind.without_authority,
        "ruling_without_authority": int(not kind.counts),
    }
    (row,) = [one for one in rows if one["player"] == "a1"]
    assert row["may_carry"] == ("yes" if kind.counts else "no")
