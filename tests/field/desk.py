"""People on devices, of a ledger as `tests.tiny` makes it, by a clock that a test sets.

Besides the usual officials: bo, a board member; sp, a play counter of elm; wo, a weighmaster of a
team that plays elsewhere; ga, weighmaster of ash in g1 only, and wg, assigned to g1.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ledger.actions.asking import Acting
from ledger.actions.entries import record
from ledger.actions.keys import enroll
from ledger.field.device import Device
from ledger.field.newcomers import by_code
from ledger.field.people import People
from ledger.field.roles import Roles
from ledger.store.opening import open_store
from ledger.store.store import Store
from tests.tiny import TEXTS, load, write_folder

WORDS = "invented words"
HERE = "192.0.2.7"
SECRET = Acting(new_passphrase=WORDS, passphrase=WORDS)
MORE = {
    "divisions": TEXTS["divisions"] + "d2,Two,120\n",
    "teams": TEXTS["teams"] + "oak,,d2,Oaks\nyew,,d2,Yews\n",
    "officials": TEXTS["officials"]
    + "bo,Una Saltgrass,board_member,\nsp,Cy Wintermoss,play_counter,elm\n"
    "wo,Nell Marlpit,weighmaster,oak\nwg,Sol Fernhollow,weighmaster,oak\n"
    "ho,Ike Bellwether,head_official,\ncc,Fay Loosestrife,coach,elm\n"
    "cc,Fay Loosestrife,board_member,\n",
    "games": TEXTS["games"] + "h1,d2,2026-09-05T12:00,Green,oak,yew\n",
}
ROWS = [
    {"kind": "assign", "by": "rg", "game": "g1", "team": "ash", "value": "wg"},
    {"kind": "appoint", "by": "so", "game": "g1", "team": "ash", "value": "ga",
     "name": "Gil Ashdown", "to": "weighmaster"},
]  # fmt: skip


class Clock:
    """Seconds, as a test moves them."""

    def __init__(self) -> None:
        self.seconds = 1_788_600_000.0

    def __call__(self) -> float:
        return self.seconds

    def pass_by(self, *, hours: float = 0, minutes: float = 0, seconds: float = 0) -> None:
        self.seconds += hours * 3600 + minutes * 60 + seconds


def make_ledger(folder: Path, *, keys: tuple[str, ...] = ("wa", "rg")) -> Path:
    """A ledger in this folder, with keys for these officials."""
    path = folder / "desk.weighbook"
    load(path, write_folder(folder / "folder", **MORE))
    store = open_store(path)
    try:
        record(store, ROWS)
        for official in keys:
            enroll(store, official, by="rg", acting=SECRET)
    finally:
        store.close()
    return path


class Desk:
    """The people of a ledger, and what the terminal was told."""

    def __init__(self, path: Path, store: Store, clock: Clock) -> None:
        self.path, self.store, self.clock = path, store, clock
        self.told: list[str] = []
        self.begin()

    def begin(self) -> None:
        """As after a start of the server."""
        self.people = People(self.path, Roles(self.store), tell=self.told.append, now=self.clock)

    def new_device(self) -> Device:
        return self.people.device(None)

    def again(self, device: Device) -> Device:
        """The same device at its next call."""
        return self.people.device(device.cookie)

    def confirm(self, device: Device, official: str, code: str, address: str) -> None:
        """Someone on this device types the code of an official who has a role."""
        self.people.confirm(*by_code(self.people, device, official, code, address))

    def state(self, kind: str, **cells: str) -> str:
        return record(self.store, [{"kind": kind, "by": "rg"} | cells]).event_ids[0]


@contextmanager
def desk_at(path: Path) -> Iterator[Desk]:
    store = open_store(path)
    try:
        yield Desk(path, store, Clock())
    finally:
        store.close()
