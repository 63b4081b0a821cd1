"""A state of a screen, and how to write one."""

from __future__ import annotations

from typing import Any, NamedTuple

from tests.field.browser.mornings import NOW
from tests.field.browser.states.steps import Do

AFTER_KICKOFF = "2026-10-17T14:21:00Z"
SIX_DAYS_BEFORE = "2026-10-11T13:41:00Z"
AT_THE_HALF = "2026-10-17T14:48:00Z"


class State(NamedTuple):
    """How to get to a screen's state.

    `place` follows `#/`, or begins with `/`; `{p58}` is the child with that number, `{signed}` a
    signature. `do` goes on from there. `sees` is a selector of what is there in this state only.
    `who` is a device of `tour.py`. Where `do` leaves something on the device, the state is `own`:
    it begins with nothing there, and no tap reaches the server.
    """

    name: str
    place: str
    sees: str
    do: Do | None = None
    who: str = "weigher"
    own: bool = False
    now: str = NOW

    @property
    def screen(self) -> str:
        """The file of static/screens/ that it shows; "" for a page that is printed."""
        if self.place.startswith("/"):
            return ""
        parts = self.place.split("/")
        if parts[0] != "game":
            return parts[0] or "home"
        return parts[2] if len(parts) > 2 else "game"


def at(game: str, screen: str, more: str = "") -> str:
    """The address of a screen about the Marmots."""
    return f"game/{game}/{screen}/marmots{more}"


def child(name: str, game: str, number: int, sees: str, **how: Any) -> State:
    return State(f"child {name}", at(game, "child", f"/{{p{number}}}"), sees, **how)
