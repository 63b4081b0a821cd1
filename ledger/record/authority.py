"""Which appointments give authority (sql/README.md, section 3).

An appointment without authority is a fact, and gives its role like any other; it gives no
authority to rule or to appoint.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import NamedTuple

OFFICES = ("registrar", "association_president", "division_president")
"""Roles that may appoint anyone, and erase, redact, make keys for others and close the season."""
CORRECTORS = ("registrar", "division_president")
"""Roles that may correct a table."""
APPOINT_AT_THE_TABLE = frozenset({"site_official", "board_member"})
AT_THE_TABLE = frozenset({"weighmaster", "play_counter"})


class Appointment(NamedTuple):
    """An appoint that counts; `game` is None where it is not for one game only."""

    by: str
    official: str
    role: str
    game: str | None


def with_authority(
    lines: Iterable[tuple[str, str]], appointments: Iterable[Appointment]
) -> list[bool]:
    """Whether each appointment has authority, given in ledger order.

    `lines` are the (official, role) of officials.csv. Never raises.
    """
    held: defaultdict[str, set[tuple[str, str | None]]] = defaultdict(set)
    for official, role in lines:
        held[official].add((role, None))
    found = []
    for one in appointments:
        roles = {role for role, game in held[one.by] if game in (None, one.game)}
        has = one.by != one.official and may_appoint(roles, one.role)
        if has:
            held[one.official].add((one.role, one.game))
        found.append(has)
    return found


def may_appoint(roles: Iterable[str], to: str) -> bool:
    """Whether one of these roles, held with authority, lets an official appoint someone `to`."""
    held = set(roles)
    return bool(held & {*OFFICES} or (to in AT_THE_TABLE and held & APPOINT_AT_THE_TABLE))


def role_name(role: str) -> str:
    """A role as the trade says it: "association president"."""
    return role.replace("_", " ")
