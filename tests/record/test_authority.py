"""Which appointments give authority; each case is a ledger's appointments, in its order."""

from __future__ import annotations

import pytest

from ledger.record.authority import Appointment, with_authority
from ledger.record.fields import ROLES

LINES = [("rg", "registrar"), ("ap", "association_president"), ("dp", "division_president"),
         ("so", "site_official"), ("bm", "board_member"), ("ho", "head_official"),
         ("ca", "coach"), ("wm", "weighmaster"), ("pc", "play_counter")]  # fmt: skip


def given(*appointments: tuple[str, ...]) -> list[bool]:
    """Appointments as (by, official, role) or (by, official, role, game)."""
    whole = [Appointment(*one[:3], one[3] if len(one) > 3 else None) for one in appointments]
    return with_authority(LINES, whole)


@pytest.mark.parametrize("to", ROLES)
@pytest.mark.parametrize("by", [official for official, _ in LINES] + ["nobody"])
def test_who_may_appoint_to_what(by: str, to: str) -> None:
    at_the_table = to in ("weighmaster", "play_counter")
    may = by in ("rg", "ap", "dp") or (by in ("so", "bm") and at_the_table)
    assert given((by, "x", to)) == [may]
    assert given((by, "x", to, "g1")) == [may]


def test_nobody_appoints_themselves() -> None:
    assert given(("ca", "ca", "division_president"), ("dp", "dp", "registrar")) == [False, False]


def test_a_role_given_with_authority_lets_its_holder_appoint_afterwards() -> None:
    assert given(("rg", "x", "board_member"), ("x", "y", "weighmaster")) == [True, True]
    assert given(("x", "y", "weighmaster"), ("rg", "x", "board_member")) == [False, True]


def test_a_role_given_without_authority_lets_nobody_appoint() -> None:
    assert given(("ca", "x", "registrar"), ("x", "ca", "division_president")) == [False, False]
    assert given(("x", "y", "registrar"), ("y", "x", "registrar")) == [False, False]


def test_a_role_for_a_game_counts_for_that_game_only() -> None:
    for_g1 = ("dp", "x", "site_official", "g1")
    assert given(for_g1, ("x", "y", "weighmaster", "g1")) == [True, True]
    assert given(for_g1, ("x", "y", "weighmaster", "g2")) == [True, False]
    assert given(for_g1, ("x", "y", "weighmaster")) == [True, False]
    # A role without a game is held in every game.
    assert given(("dp", "x", "site_official"), ("x", "y", "weighmaster", "g2")) == [True, True]


def test_a_second_appointment_with_authority_mends_the_first() -> None:
    twice = [("ca", "x", "registrar"), ("rg", "x", "registrar"), ("x", "y", "coach")]
    assert given(*twice) == [False, True, True]
