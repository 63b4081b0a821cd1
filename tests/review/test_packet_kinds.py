"""What a packet shows, kind by kind: every statement of one morning, and whether it is in there.

The question is about player a2 of ash in game g1. `SHOWN` says of every kind whether the packet
has it: stated of a2 and of another child, of ash and of elm, of g1 and of g2. A kind that is new,
or one that a packet forgets, fails here by name.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from ledger.record.statements import KINDS
from ledger.review.packet import build_packet
from tests.review.cases_of import adds, opens, season
from tests.tiny import says

ABOUT_THE_CHILD = {"a2 in g1": True, "a1 in g1": False, "a2 in g2": False}
WITH_A_FINDING = ABOUT_THE_CHILD | {"a2 in g2": True}
"""In g2 it breaks a rule, and a packet has every finding about the child with what it rests on."""
ABOUT_THE_TEAM = {"ash in g1": True, "elm in g1": False, "ash in g2": False}
ABOUT_THE_GAME = {"g1": True, "g2": False}
ON_THE_ROSTER = {"a2 of ash": True, "a1 of ash": False}
OF_THE_CASE = {"c1": True, "c0": False}
NEVER = {"once": False}

SHOWN: dict[str, dict[str, bool]] = {
    "weigh": ABOUT_THE_CHILD,
    "late_weigh": ABOUT_THE_CHILD,
    "initial": WITH_A_FINDING,
    "list": ABOUT_THE_CHILD,
    "strike_off": WITH_A_FINDING,
    "stripe": ABOUT_THE_CHILD,
    "plays": WITH_A_FINDING,
    "excuse": ABOUT_THE_CHILD,
    "concern": ABOUT_THE_CHILD | ABOUT_THE_GAME,
    "at_scale": ABOUT_THE_TEAM | {"elm in g1": True},
    "close": ABOUT_THE_TEAM,
    "countersign": ABOUT_THE_TEAM,
    "station": ABOUT_THE_GAME,
    "scale_out": ABOUT_THE_GAME,
    "half": ABOUT_THE_GAME,
    "game_change": ABOUT_THE_GAME,
    "game_off": ABOUT_THE_GAME,
    "snaps": {"g1": False, "g2": False},  # plays run by a team are in the exposure table
    "roster_add": ON_THE_ROSTER,
    "roster_drop": ON_THE_ROSTER,
    "number_change": ON_THE_ROSTER,
    "enter_player": {"once": False},  # another child's: a2 is entered in the set-up
    "case_open": OF_THE_CASE,
    "case_refer": OF_THE_CASE,
    "case_statement": OF_THE_CASE,
    "case_exhibit": OF_THE_CASE,
    "ruling": OF_THE_CASE,
    "case_close": OF_THE_CASE,
    "withdraw": {"of a2's weigh": True, "of a1's weigh": False},
    "trained": NEVER,
    "assign": NEVER,
    "appoint": NEVER,
    "season_close": NEVER,
}
_NEEDS: dict[str, dict[str, object]] = {
    "weigh": {"value": "ok"},
    "late_weigh": {"value": "ok"},
    "initial": {"value": "ok", "initials": "QX"},
    "list": {"reason": "other"},
    "plays": {"half": 1, "count": 4},
    "excuse": {"reason": "injured"},
    "concern": {"reason": "cleats"},
    "station": {"reading": "10.05", "limit": 100},
    "scale_out": {"reason": "no power"},
    "half": {"half": 1},
    "game_change": {"reason": "rain", "site": "Meadow"},
    "game_off": {"reason": "lightning"},
    "snaps": {"half": 1, "count": 30},
    "roster_add": {"at": "2026-09-01T18:00"},
    "roster_drop": {"at": "2026-09-01T19:00"},
    "number_change": {"at": "2026-09-01T18:30", "number": 7},
    "enter_player": {"player": "b9", "name": "Bo Yarrow"},
    "case_refer": {"to": "registrar"},
    "case_exhibit": {"value": "0f" * 32},
    "ruling": {"value": "upheld"},
    "withdraw": {"reason": "wrong button"},
    "trained": {"value": "wa"},
    "assign": {"game": "g1", "team": "ash", "value": "wa"},
    "appoint": {"to": "registrar", "value": "wa"},
}
_WHERE: dict[str, dict[str, object]] = {
    "a2 in g1": {"game": "g1", "team": "ash", "player": "a2"},
    "a1 in g1": {"game": "g1", "team": "ash", "player": "a1"},
    "a2 in g2": {"game": "g2", "team": "ash", "player": "a2"},
    "ash in g1": {"game": "g1", "team": "ash"},
    "elm in g1": {"game": "g1", "team": "elm"},
    "ash in g2": {"game": "g2", "team": "ash"},
    "g1": {"game": "g1"},
    "g2": {"game": "g2"},
    "a2 of ash": {"team": "ash", "player": "a2"},
    "a1 of ash": {"team": "ash", "player": "a1"},
    "c1": {"case": "c1"},
    "c0": {"case": "c0"},
    "of a2's weigh": {"target": "weighed-a2"},
    "of a1's weigh": {"target": "weighed-a1"},
    "once": {},
}


def ref_of(kind: str, where: str) -> str:
    return f"{kind}.{where.replace(' ', '-').replace(chr(39), '')}"


def lines_of(kind: str) -> dict[str, dict[str, str]]:
    """The kind's statements by what each is about, every one with its own name as `ref`."""
    return {
        where: says(kind, **(_NEEDS.get(kind, {}) | _WHERE[where] | {"ref": ref_of(kind, where)}))
        for where in SHOWN[kind]
    }


def around(kind: str) -> list[dict[str, str]]:
    """What must be there before: the two cases, and for a withdrawal what it takes back."""
    cases: list[dict[str, Any]] = [opens("c0", game=None, team=None, player=None, reason="other")]
    cases.append(opens())
    if kind == "case_open":
        cases = [one | {"ref": ref_of(kind, one["case"])} for one in cases]
    weighs = [
        says("weigh", game="g1", team="ash", player=one, value="ok", ref=f"weighed-{one}")
        for one in ("a1", "a2")
    ]
    return cases + (weighs if kind == "withdraw" else [])


def test_every_kind_is_in_the_table() -> None:
    assert SHOWN.keys() == set(KINDS)


@pytest.mark.parametrize("kind", SHOWN)
def test_a_packet_shows_what_it_must_and_no_more(tmp_path: Path, kind: str) -> None:
    lines = lines_of(kind)
    written = list(lines.values()) if kind != "case_open" else []
    with season(tmp_path, *around(kind), *written) as store:
        refs = {stored.event.data.get("ref"): stored.event.id for stored in store.events()}
        packet = build_packet(store, "c1")
    in_packet = {entry.statement.event for entry in packet.timeline}
    shown = {where: refs[ref_of(kind, where)] in in_packet for where in lines}
    assert shown == SHOWN[kind]


def test_a_line_added_to_the_case_is_its_own(tmp_path: Path) -> None:
    with season(tmp_path, opens(), adds("case_statement", note="We counted twice.")) as store:
        packet = build_packet(store, "c1")
    assert [entry.is_own for entry in packet.timeline] == [True, True]
