"""Somebody new at the table: who asks to be let in, who may say yes, and what that records.

A yes appoints them for this game (`appoint`). Whoever may appoint says it with authority; if nobody
of these is there, so does the other team's weighmaster, without: then the person works in that
game, and is to be confirmed afterwards. Here is what is decided; `new_here` has the routes.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from ledger.actions.officials import Officials
from ledger.actions.taps import Tap, read_tap
from ledger.field.answers import Refusal
from ledger.field.device import Device
from ledger.field.people import People, has_role
from ledger.field.rights import may_confirm, may_let_in, why_not
from ledger.field.sessions import New, Session, SignedIn
from ledger.record.times import now_utc, zone


class Confirmer(NamedTuple):
    """An official who may say yes."""

    official: str
    has_authority: bool


class LetIn(NamedTuple):
    """A role that is still to be confirmed."""

    official: str
    new: New
    by: str


def new_id(officials: Officials, waiting: Iterable[SignedIn]) -> str:
    """An id that nobody has, without a name in it."""
    taken = {*officials.names, *(one.official for one in waiting)}
    while (found := f"new-{secrets.randbelow(900_000) + 100_000}") in taken:
        pass
    return found


def check_known(officials: Officials, official: str, game: str) -> None:
    """A Refusal unless this is somebody known who may help in this game."""
    if not has_role(officials, official):
        raise Refusal(422, "refused", f"{official} has no role in this ledger.")
    if officials.is_coach(official, game):
        hint = "Ask someone who coaches neither team."
        raise Refusal(422, "coach", "You coach one of these teams.", hint=hint)


def holds(officials: Officials, official: str, new: New) -> bool:
    """Whether the official has this role in this game already."""
    return any(
        (one.role, one.team) == (new.to, new.team)
        and one.game in (None, new.game)
        and (one.has_authority or one.to_confirm)
        for one in officials.roles.get(official, ())
    )


def confirmers(officials: Officials, here: Iterable[str], person: SignedIn) -> list[Confirmer]:
    """Who of these may confirm this person; first those with authority.

    Nobody, for a team that does not play the game any more: its row was corrected meanwhile.
    """
    found: list[Confirmer] = []
    if person.new and person.new.team not in officials.sides.get(person.new.game, ()):
        return found
    for official in here:
        is_known = has_role(officials, person.official)
        if official == person.official or (
            is_known and not may_confirm(officials, official, person.official)
        ):
            continue
        if person.new is None:
            found += [Confirmer(official, True)] if is_known else []
        elif _may_appoint(officials, official, person.official, person.new):
            found.append(Confirmer(official, True))
        elif may_let_in(officials, official, _entry(person.official, person.new)):
            found.append(Confirmer(official, False))
    return sorted(found, key=lambda one: not one.has_authority)


def by_code(
    people: People, device: Device, official: str, code: str, address: str, by: str | None = None
) -> tuple[Session, SignedIn, str]:
    """Who waits with this code, on which device, and who on `device` confirms them; or a Refusal.

    Nobody who may not confirm the official learns whether the code is right.
    """
    here = [one for one in device.confirmed if by in (None, one)]
    waits = [one for one in people.waiting() if one.official == official]
    refusal = Refusal(403, "not_yours", f"You may not confirm {official}.")
    if not any(confirmers(device.officials, here, one) for one in waits) and not any(
        may_confirm(device.officials, one, official) for one in here
    ):
        raise refusal
    session, person = people.of_code(official, code, address)
    able = confirmers(device.officials, here, person)
    if not able:
        raise refusal
    return session, person, able[0].official


def let_in(officials: Officials, here: Iterable[str]) -> Iterator[LetIn]:
    """Who works without authority, and one of these may appoint them."""
    able = list(here)
    for official, roles in officials.roles.items():
        for one in roles:
            if not one.to_confirm:
                continue
            new = New(officials.names[official], str(one.game), str(one.team), one.role)  # type: ignore[arg-type]
            if any(_may_appoint(officials, by, official, new) for by in able):
                yield LetIn(official, new, str(one.by))


def appointing(
    officials: Officials, by: str, session: Session, person: SignedIn, local: str
) -> Tap:
    """The act that gives the person the role they ask for. Its ref is this ask's own."""
    assert person.new is not None
    entry = _entry(person.official, person.new) | {"by": by, "at": now_utc()}
    entry["ref"] = f"let-in.{session.name}.{int(person.since)}"
    if person.official not in officials.names:
        entry["name"] = person.new.name
    return read_tap([entry], zone(local), fine=True)


def _may_appoint(officials: Officials, by: str, official: str, new: New) -> bool:
    return not why_not(officials, by, [_entry(official, new)], lambda target: None)


def _entry(official: str, new: New) -> dict[str, str]:
    said = {"kind": "appoint", "game": new.game, "team": new.team}
    return said | {"to": new.to, "value": official}
