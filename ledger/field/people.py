"""Who is signed in on a device: by a key, or confirmed by somebody who may.

Several people may be signed in on one device. What a device may do is asked at every call, of the
roles and keys as the ledger has them then. For the event loop's thread; opening a key takes a
third of a second and runs in another. Nothing here logs, and no passphrase is kept.
"""

from __future__ import annotations

import hmac
import secrets
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from anyio import CapacityLimiter

from ledger.actions.officials import Officials, prove, proves
from ledger.chain.phone import sign_in_text
from ledger.field.answers import Refusal
from ledger.field.device import Device
from ledger.field.limits import Guesses, Limit, network_of, wait_out
from ledger.field.passphrase import AT_ONCE, try_passphrase
from ledger.field.rights import may_confirm
from ledger.field.roles import Roles
from ledger.field.sessions import (
    COOKIE,
    HOURS,
    How,
    New,
    Session,
    Sessions,
    SignedIn,
    new_cookie,
)

CODE_MINUTES = 30
ASKS = 200
"""For codes, in five minutes from one address: a carrier's phones may all have the same."""
NEW_ASKS = 20
"""By somebody new, in five minutes from one address: whoever confirms looks through them all."""
GUESSES = 200
"""Wrong passphrases in five minutes from everywhere: each takes a third of a second of a processor
that the scale needs. Codes go on meanwhile."""


class People:
    """`tell` hears the code of the terminal whenever there is a new one; `now` is in seconds."""

    def __init__(
        self,
        ledger: Path,
        roles: Roles,
        *,
        tell: Callable[[str], object],
        now: Callable[[], float] = time.time,
    ) -> None:
        self._ledger, self._roles, self._now, self._tell = ledger, roles, now, tell
        self.sessions = Sessions(ledger.with_name(f"{ledger.name}.sessions"), now)
        self._terminal = ""
        self._new_terminal_code()
        self._opening = CapacityLimiter(AT_ONCE)
        self._guesses, self._signatures = Guesses(now, GUESSES), Guesses(now)
        self._asks, self._new_asks = Limit(ASKS, 300, now), Limit(NEW_ASKS, 300, now)
        self._codes = Limit(5, 300, now)
        self._terminal_codes = Limit(10, 3600, now)

    def device(self, cookie: str | None) -> Device:
        """The device with this cookie; people whose time, key or roles ended are signed out."""
        officials = self._roles.now()
        if cookie is None or not COOKIE.fullmatch(cookie):
            return Device(new_cookie(), True, (), officials)
        session = self.sessions.of(cookie)
        if session is None:
            return Device(cookie, False, (), officials)
        people = tuple(one for one in session.people if self._lasts(one, officials))
        if people != session.people:
            self.sessions.keep(replace(session, people=people))
        return Device(cookie, False, people, officials)

    async def sign_in(
        self, device: Device, official: str, passphrase: str | None, address: str
    ) -> Device:
        """Sign the official in on this device, and return it: with a new cookie if nobody was."""
        if not has_role(device.officials, official):
            raise Refusal(422, "refused", f"{official} has no role in this ledger.")
        if passphrase is None:
            if official in device.confirmed:
                return device
            return self.ask_in(device, official, None, address)
        if not device.officials.key_games(official):
            hint = "Sign in without a passphrase. Someone who may then confirms you."
            raise Refusal(422, "no_key", f"{official} has no key in force.", hint=hint)
        key = await self.open_key(device.officials, official, passphrase, address)
        return self._add(device, self._person(official, "key", key=key))

    def ask_in(self, device: Device, official: str, new: New | None, address: str) -> Device:
        """Somebody waits on this device until the official is confirmed, by a new code."""
        wait_out((self._asks if new is None else self._new_asks).begin(network_of(address)))
        code = f"{secrets.randbelow(10**6):06}"
        return self._add(device, self._person(official, "to confirm", code=code, new=new))

    def sign_in_with_phone(
        self, device: Device, official: str, origin: str, signature: str
    ) -> Device:
        """Sign the official in by the key that this device holds itself; with a new cookie if
        nobody was. Nobody guesses a signature, so tries are not counted.
        """
        token = self.sessions.token(device.cookie)
        key = proves(device.officials, official, sign_in_text(origin, official, token), signature)
        if not key:
            hint = "Sign in another way. The registrar confirms a phone's new key."
            raise Refusal(422, "bad_signature", "The key of this phone does not count.", hint=hint)
        return self._add(device, self._person(official, "phone", key=key))

    def sign_in_to_practice(self, device: Device, official: str) -> Device:
        """Sign the official in, confirmed and without a passphrase: in a practice only."""
        return self._add(device, self._person(official, "terminal"))

    async def open_key(
        self, officials: Officials, official: str, passphrase: str, address: str
    ) -> str:
        """The line of the key that the passphrase opens; a Refusal if wrong, or tried too often."""
        forgive = self._guesses.begin(official, address)
        return await try_passphrase(
            self._ledger,
            lambda store: prove(store, officials, official, passphrase),
            forgive=forgive,
            limiter=self._opening,
        )

    def guess(self, official: str, address: str) -> Callable[[], None]:
        """Count a try to sign with this passphrase; call what it returns if it was right.

        Apart from tries to sign in, so that no stranger keeps anyone from signing.
        """
        return self._signatures.begin(official, address)

    def waiting(self) -> Iterator[SignedIn]:
        """Everyone who waits to be confirmed, the latest first."""
        found = [
            person
            for session in self.sessions
            for person in session.people
            if not person.is_confirmed and person.until > self._now()
        ]
        yield from sorted(found, key=lambda one: one.since, reverse=True)

    def of_code(self, official: str, code: str, address: str) -> tuple[Session, SignedIn]:
        """Who waits with this code, on which device; a Refusal if wrong, or tried too often."""
        wait_out(self._codes.begin(network_of(address)))
        for session in self.sessions:
            person = session.of(official)
            if person and self._awaits(person, code):
                self._codes.forgive(network_of(address))
                return session, person
        raise Refusal(422, "wrong_code", "This is not the code of this person.", hint=_ASK_AGAIN)

    def confirm(self, session: Session, person: SignedIn, by: str) -> None:
        """`by` has confirmed this person, who has a role in the ledger."""
        now = next((one for one in self.sessions if one.name == session.name), session)
        self._confirm(now, person, by)

    def confirm_by_terminal(self, device: Device, official: str, code: str, address: str) -> None:
        """Confirm the official on this device by the code that the server's terminal shows."""
        session = self.sessions.of(device.cookie)
        person = session.of(official) if session else None
        if session is None or person is None or not self._lasts(person, device.officials):
            raise Refusal(422, "refused", f"{official} is not signed in on this device.")
        if person.is_confirmed:
            return
        if person.new is not None:
            hint = "Someone with a role in this game types your code on their device, or on this."
            raise Refusal(403, "not_yours", "A person has to let you in.", hint=hint)
        wait_out(self._codes.begin(network_of(address)))
        wait_out(self._terminal_codes.begin(""))
        if not _same(self._terminal, code):
            hint = "It is shown where weighbook serve was started."
            raise Refusal(422, "wrong_code", "That is not the code.", hint=hint)
        self._codes.forgive(network_of(address))
        self._terminal_codes.forgive("")
        self._new_terminal_code()
        self._confirm(session, person)

    def sign_out(self, device: Device, official: str | None = None) -> Device:
        """Sign this person out of this device, or everyone."""
        if session := self.sessions.of(device.cookie):
            self._drop(session, official)
        return self.device(device.cookie)

    def revoke(self, device: Device, name: str, official: str | None, *, all_may: bool) -> None:
        """Sign people out of another device: anyone if `all_may`, else only oneself."""
        session = next((one for one in self.sessions if one.name == name), None)
        if session is None:
            raise Refusal(404, "unknown", "There is no such session.")
        leaving = {one.official for one in session.people if official in (None, one.official)}
        if not all_may and not leaving <= set(device.confirmed):
            raise Refusal(403, "not_yours", "You may only end your own sessions.")
        self._drop(session, official)

    def _lasts(self, person: SignedIn, officials: Officials) -> bool:
        return (
            person.until > self._now()
            and (person.new is not None or has_role(officials, person.official))
            and (person.how not in ("key", "phone") or _is_in_force(officials, person))
            # A weighmaster's confirmation is none of a registrar they became since.
            and (person.how != "code" or may_confirm(officials, person.by, person.official))
        )

    def _awaits(self, person: SignedIn, code: str) -> bool:
        return person.until > self._now() and not person.is_confirmed and _same(person.code, code)

    def _person(
        self, official: str, how: How, *, key: str = "", code: str = "", new: New | None = None
    ) -> SignedIn:
        now = self._now()
        until = now + (CODE_MINUTES * 60 if how == "to confirm" else HOURS * 3600)
        return SignedIn(official, how, now, until, key=key, code=code, new=new)

    def _add(self, device: Device, person: SignedIn) -> Device:
        # Whoever knew the cookie of an empty device does not get what is signed in on it.
        session = self.sessions.of(device.cookie)
        cookie = device.cookie if session else new_cookie()
        self.sessions.keep((session or Session.new(cookie)).with_person(person))
        return self.device(cookie)

    def _confirm(self, session: Session, person: SignedIn, by: str = "") -> None:
        how: How = "code" if by else "terminal"
        until = person.since + HOURS * 3600
        done = replace(person, how=how, until=until, by=by, code="", new=None)
        self.sessions.keep(session.with_person(done))

    def _drop(self, session: Session, official: str | None) -> None:
        staying = tuple(o for o in session.people if official not in (None, o.official))
        self.sessions.keep(replace(session, people=staying))

    def _new_terminal_code(self) -> None:
        self._terminal = f"{secrets.randbelow(10**6):06}"
        self._tell(self._terminal)


def has_role(officials: Officials, official: str) -> bool:
    """Whether the official has a role that counts on the page."""
    roles = officials.roles.get(official, ())
    return any(one.has_authority or one.to_confirm for one in roles)


def _same(code: str, given: str) -> bool:
    return hmac.compare_digest(code.encode(), given.encode())


def _is_in_force(officials: Officials, person: SignedIn) -> bool:
    return any(
        officials.keys[person.official, game] == person.key
        for game in officials.key_games(person.official, on_phone=person.how == "phone")
    )


_ASK_AGAIN = f"A code is good for {CODE_MINUTES} minutes. Ask for it again."
