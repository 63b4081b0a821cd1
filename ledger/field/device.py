"""A device that calls: who is signed in on it, and what they may do."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.actions.officials import Officials
from ledger.field.rights import may
from ledger.field.sessions import SignedIn


@dataclass(frozen=True)
class Device:
    """Who is signed in on the device that calls, and everyone's roles, at this moment.

    `cookie` is what the device has, or should have; `is_new` if it has none yet.
    """

    cookie: str
    is_new: bool
    people: tuple[SignedIn, ...]
    officials: Officials

    @property
    def confirmed(self) -> tuple[str, ...]:
        return tuple(one.official for one in self.people if one.is_confirmed)

    def may(self, what: str, game: str | None = None) -> bool:
        """Whether anyone confirmed on this device may do this."""
        return any(may(self.officials, one, what, game) for one in self.confirmed)
