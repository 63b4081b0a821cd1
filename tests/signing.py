"""A morning in the ledger of `tests.tiny`, stated one by one and signed with keys.

Statements about ash in g1 begin at 9:01 in Chicago (14:01 UTC), a minute apart. The ledger's clock
stands at 14:30 until a test sets it; from then on statements are dated after 14:30.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from ledger.chain.cosignature import cosigner_key
from ledger.chain.keys import KeyPair, make_key
from ledger.chain.note import format_verifier_key
from ledger.record.accepted import Accepted
from ledger.store.chains import begin_chain, origin_in
from ledger.store.opening import open_store
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.countersign import Signed, countersign, show_list
from ledger.witness.officials import OfficialKey, key_name
from tests.tiny import tiny_store, write_folder

OFFICE = "office"
SIGNED_AT = "2026-09-05T14:30:00.000Z"


class Morning:
    """`state` and `sign` return the event's id, and the signature."""

    def __init__(self, store: SqliteStore) -> None:
        self.store = store
        self.minute = 0
        self.keys: dict[str, KeyPair] = {}

    def state(self, kind: str, *, by: str, team: str | None = "ash", player: str | None = None,
              chain: str = OFFICE, at: str = "", game: str | None = "g1",
              **data: Any) -> str:  # fmt: skip
        self.minute += 1
        at = at or f"2026-09-05T14:{self.minute:02}:00.000Z"
        personal = {"reason": data.pop("reason")} if kind == "withdraw" else {}
        game = None if kind == "withdraw" else game
        if kind in ("weigh", "late_weigh", "list", "initial", "stripe", "strike_off", "plays"):
            data.setdefault("number", int(str(player)[1:]))
        statement = Accepted(kind, data, personal, at, at, by, game, team, player)
        with self.store.writing() as writing:
            league = next(iter(self.store.events(kind=["league"]))).event.data
            begin_chain(writing, chain, league)
            return writing.append([statement], chain=chain)[0]

    def sign(
        self, official: str, *, game: str = "g1", team: str = "ash", chain: str = OFFICE
    ) -> Signed:
        key = self._key(official)
        shown = show_list(self.store, game, team, official, chain=chain)
        signed = countersign(self.store, shown, key, self.keys[official].private)
        self.minute = max(self.minute, 30)
        return signed

    def events(self, *kinds: str, **where: str) -> list[str]:
        """The ids of events of these kinds."""
        found = self.store.events(kind=kinds, **{key: [value] for key, value in where.items()})
        return [stored.id for stored in found]

    def _key(self, official: str) -> OfficialKey:
        name = key_name(official, origin_in(self.store, OFFICE))
        if official not in self.keys:
            self.keys[official] = make_key()
            key = cosigner_key(name, self.keys[official].public)
            data = {"official": official, "key": format_verifier_key(key)}
            with self.store.writing() as writing:
                writing.append([Accepted("official_key", data, by="rg")], chain=OFFICE)
                writing.keep_key(name, b"sealed, if this were no test")
        return OfficialKey(official, cosigner_key(name, self.keys[official].public), "")


@contextmanager
def morning(folder: Path) -> Iterator[Morning]:
    """The tiny season's ledger in that folder, whose clock says the middle of September 5."""
    with tiny_store(write_folder(folder / "season")) as store:
        store.clock = lambda: SIGNED_AT
        yield Morning(store)


class Begun:
    """A morning that many tests go on with, each on a copy of its own."""

    def __init__(self, folder: Path, begin: Callable[[Morning], object]) -> None:
        with morning(folder) as one:
            begin(one)
            self._keys, self._minute = one.keys, one.minute
        self._ledger = folder / "tiny.weighbook"

    @contextmanager
    def copied(self, to: Path) -> Iterator[Morning]:
        store = open_store(Path(shutil.copy(self._ledger, to)))
        store.clock = lambda: SIGNED_AT
        one = Morning(store)
        one.keys, one.minute = dict(self._keys), self._minute
        try:
            yield one
        finally:
            store.close()
