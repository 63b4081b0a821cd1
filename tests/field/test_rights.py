"""The table of rights: what it says of each person of the desk, and some lines by hand."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.actions.officials import Officials, read_officials
from ledger.field import rights
from ledger.field.rights import (
    AT_SCALE,
    MAKE_KEYS,
    READ_GAME,
    RIGHTS,
    SEE_SESSIONS,
    SIGN,
    may,
    why_not,
)
from ledger.record.fields import ROLES
from ledger.record.kinds import OWN, SETUP, STATEMENTS
from ledger.store.opening import open_store
from tests.field.desk import make_ledger
from tests.once import made_once

NOBODY_STATES = {"countersign", "season_close", "withdraw"}
"""Of statements; withdraw goes by its author, not by a role."""

G1 = """
                 wa we wg ga wo bo ap dp rg so ho pc sp ca cc
at_scale          x  x  x  x  .  x  x  x  .  .  .  .  .  .  .
station           x  x  x  x  .  x  x  x  .  .  .  .  .  .  .
scale_out         x  x  x  x  .  x  x  x  .  x  x  .  .  .  .
weigh             x  x  x  x  .  x  x  x  .  .  .  .  .  .  .
late_weigh        x  x  x  x  .  x  x  x  .  .  .  .  .  .  .
initial           x  x  x  x  .  x  x  x  .  .  .  .  .  .  .
list              x  x  x  x  .  x  x  x  .  .  .  .  .  .  .
strike_off        x  x  x  x  .  x  x  x  .  .  .  .  .  .  .
stripe            x  x  x  x  .  x  x  x  .  .  .  .  .  .  .
close             x  x  x  x  .  x  x  x  .  .  .  .  .  .  .
plays             x  x  x  x  .  .  .  .  .  .  .  x  x  .  .
snaps             x  x  x  x  .  x  .  x  .  x  x  x  x  .  x
half              .  .  .  .  .  x  .  x  .  x  x  .  .  .  x
excuse            .  .  .  .  .  x  .  x  .  x  x  .  .  .  x
game_change       .  .  .  .  .  x  .  x  x  x  x  .  .  .  x
game_off          .  .  .  .  .  x  .  x  .  x  x  .  .  .  x
concern           x  x  x  x  .  x  x  x  x  x  x  x  x  x  x
case_open         x  x  x  x  .  x  x  x  x  x  x  x  x  x  x
case_refer        .  .  .  .  .  .  x  x  .  .  .  .  .  .  .
case_statement    .  .  .  .  .  .  x  x  .  .  .  .  .  .  .
case_exhibit      .  .  .  .  .  .  x  x  .  .  .  .  .  .  .
case_close        .  .  .  .  .  .  x  x  .  .  .  .  .  .  .
ruling            .  .  .  .  .  .  x  x  .  .  .  .  .  .  .
roster_add        .  .  .  .  .  .  .  .  x  .  .  .  .  .  .
roster_drop       .  .  .  .  .  .  .  .  x  .  .  .  .  .  .
number_change     .  .  .  .  .  .  .  .  x  .  .  .  .  .  .
enter_player      .  .  .  .  .  .  .  .  x  .  .  .  .  .  .
assign            .  .  .  .  .  .  .  .  x  .  .  .  .  .  .
trained           .  .  .  .  .  .  .  .  x  .  .  .  .  .  .
appoint           .  .  .  .  .  x  x  x  x  x  .  .  .  .  x
"""
"""Written by hand: cc coaches elm and is a board member; ga and wg see desk.py."""


def _read(folder: Path) -> None:
    make_ledger(folder, keys=())


@pytest.fixture(scope="module")
def officials() -> Iterator[Officials]:
    store = open_store(made_once("desk", _read) / "desk.weighbook")
    yield read_officials(store)
    store.close()


def rows(text: str) -> Iterator[tuple[str, str, bool]]:
    people, *lines = filter(None, text.splitlines())
    for line in lines:
        kind, *marks = line.split()
        yield from zip(
            [kind] * len(marks), people.split(), (mark == "x" for mark in marks), strict=True
        )


def test_in_their_game(officials: Officials) -> None:
    wrong = [
        (kind, who, said) for kind, who, said in rows(G1) if may(officials, who, kind, "g1") != said
    ]
    assert wrong == []


def test_every_kind_is_in_that_list_or_nobody_states_it(officials: Officials) -> None:
    listed = {kind for kind, _, _ in rows(G1)}
    assert listed | NOBODY_STATES == set(STATEMENTS)
    granted = {what for right in RIGHTS for what in right.what}
    assert granted == listed | {READ_GAME, SIGN, SEE_SESSIONS, MAKE_KEYS}
    assert granted.isdisjoint({*SETUP, *OWN, *NOBODY_STATES})
    assert {role for right in RIGHTS for role in right.roles} == set(ROLES)


@pytest.mark.parametrize("kind", [*SETUP, *OWN, "countersign", "season_close", "", "nonsense"])
def test_nobody_states_what_is_not_in_the_table(officials: Officials, kind: str) -> None:
    for who in officials.roles:
        assert why_not(officials, who, [{"kind": kind, "game": "g1"}], lambda target: None)


def test_elsewhere(officials: Officials) -> None:
    """A team's people and an assigned or appointed one count in that game; offices anywhere."""
    assert {who for who in officials.roles if may(officials, who, "weigh", "h1")} == {
        "wo", "wg", "bo", "cc", "ap", "dp",
    }  # fmt: skip
    assert not may(officials, "ga", "weigh", "g2")
    assert not may(officials, "wg", "weigh", "g2")
    assert may(officials, "wa", "weigh", "g2")
    assert not may(officials, "ga", READ_GAME, "g2")
    assert may(officials, "pc", "plays", "h1")
    assert not may(officials, "sp", "plays", "h1")


def test_a_game_that_is_not_there(officials: Officials) -> None:
    for game in (None, "nothing"):
        able = {who for who in officials.roles if may(officials, who, READ_GAME, game)}
        assert able == {"rg", "bo", "cc", "ap", "dp"}
        assert not may(officials, "wa", "weigh", game)


def test_who_reads_and_signs(officials: Officials) -> None:
    for game, out in (("g1", {"wo"}), ("h1", {"wa", "we", "ga", "sp", "ca"})):
        able = {who for who in officials.roles if may(officials, who, READ_GAME, game)}
        assert set(officials.roles) - able == out
    assert {who for who in officials.roles if may(officials, who, SIGN, "g1")} == {
        "wa",
        "we",
        "ga",
    }


@pytest.mark.parametrize("kind", AT_SCALE)
def test_a_coach_of_either_team_states_nothing_at_the_scale(
    officials: Officials, kind: str
) -> None:
    told = why_not(officials, "cc", [{"kind": kind, "game": "g1"}], lambda target: None)
    assert told == "A coach of either team enters nothing at the scale."
    assert may(officials, "cc", kind, "h1")


def test_the_coach_counts_even_where_nobody_could_make_them_one(officials: Officials) -> None:
    coach = rights.Held("coach", "ash", "g1", False)
    roles = {**officials.roles, "we": (*officials.roles["we"], coach)}
    changed = Officials(**{**vars(officials), "roles": roles})
    assert not may(changed, "we", "weigh", "g1")
    assert may(changed, "we", "weigh", "g2")


def test_a_role_without_authority_gives_no_rights(officials: Officials) -> None:
    registrar = rights.Held("registrar", None, None, False)
    roles = {**officials.roles, "we": (*officials.roles["we"], registrar)}
    changed = Officials(**{**vars(officials), "roles": roles})
    assert not may(changed, "we", "trained")
    assert not may(changed, "we", READ_GAME, "h1")
    assert not rights.may_confirm(changed, "we", "so")
    assert may(changed, "we", "weigh", "g1")


def test_only_a_weighmaster_is_assigned_to_another_teams_game(officials: Officials) -> None:
    assigned = {**officials.assigned, "sp": frozenset({("h1", "oak")})}
    changed = Officials(**{**vars(officials), "assigned": assigned})
    assert not may(changed, "sp", "plays", "h1")
    assert not may(changed, "sp", READ_GAME, "h1")


def test_only_the_author_takes_back(officials: Officials) -> None:
    by = {"office:1": "wa", "mine.1": "we", "office:2": None}
    for target, may_take_back in (("office:1", False), ("mine.1", True), ("office:2", False),
                                  ("office:9", False)):  # fmt: skip
        entry = {"kind": "withdraw", "target": target, "reason": "wrong child"}
        assert (why_not(officials, "we", [entry], by.get) == "") is may_take_back


def test_an_act_may_take_back_its_own_entry_but_not_by_anothers_ref(officials: Officials) -> None:
    stated = {"kind": "at_scale", "game": "g1", "ref": "a.1"}
    back = {"kind": "withdraw", "target": "a.1", "reason": "wrong game", "ref": "a.2"}
    assert why_not(officials, "we", [stated, back], {}.get) == ""
    assert why_not(officials, "we", [back, stated], {"a.1": "wa"}.get)


def test_one_entry_that_is_not_theirs_stops_the_act(officials: Officials) -> None:
    weigh, half = {"kind": "weigh", "game": "g1"}, {"kind": "half", "game": "g1"}
    assert why_not(officials, "we", [weigh], lambda target: None) == ""
    assert why_not(officials, "we", [weigh, half], lambda target: None)


def test_a_coach_lets_nobody_in_and_is_let_in_by_nobody(officials: Officials) -> None:
    coach = rights.Held("coach", "elm", "g1", False)
    let_in = rights.Held("weighmaster", "ash", "g1", False, "we", to_confirm=True)
    roles = {**officials.roles, "pc": (*officials.roles["pc"], coach, let_in)}
    roles["we"] = (*roles["we"], coach)
    changed = Officials(**{**vars(officials), "roles": roles})
    assert officials.is_across("we", "ash", "g1")
    assert not changed.is_across("we", "ash", "g1")
    assert not may(changed, "pc", "weigh", "g1")
    assert may(changed, "pc", "plays", "g1")


@pytest.mark.parametrize(
    ("by", "value", "to", "game", "may_appoint"),
    [
        ("rg", "we", "registrar", None, True), ("rg", "rg", "board_member", None, False),
        ("so", "x1", "weighmaster", "g1", True), ("so", "x1", "weighmaster", None, False),
        ("so", "x1", "head_official", "g1", False), ("bo", "x1", "play_counter", "g1", True),
        ("so", "so", "weighmaster", "g1", False), ("ho", "x1", "weighmaster", "g1", False),
        ("dp", "x1", "coach", "g1", True), ("wa", "x1", "weighmaster", "g1", False),
    ],
)  # fmt: skip
def test_appointing(
    officials: Officials, by: str, value: str, to: str, game: str | None, may_appoint: bool
) -> None:
    entry = {"kind": "appoint", "value": value, "to": to} | ({"game": game} if game else {})
    assert (why_not(officials, by, [entry], lambda target: None) == "") is may_appoint
