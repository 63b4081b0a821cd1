"""The ledger that is attacked: two games, two chains, keys, signatures, erasures; 60 events.

The set-up is that of `tests.tiny`. `wa` weighs for ash, `we` for elm; both have keys, and `wa`
gets a new one half-way. What the officials took home, and a paper printed in between, is kept
outside. Officials' private keys are not really sealed into the file, which takes a third of a
second each: an attack that has one says so.
"""

from __future__ import annotations

import pickle
from dataclasses import dataclass, field
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from ledger.audit.kept import KeptNote
from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.cosignature import cosigner_key
from ledger.chain.keys import KeyPair, make_key
from ledger.chain.note import Note, VerifierKey, format_verifier_key
from ledger.record.accepted import Accepted
from ledger.store.chains import origin_in, sign_head
from ledger.store.erasure import erase, events_of_child, redact
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.countersign import countersign, countersign_in_ink, show_list
from ledger.witness.officials import OfficialKey, key_name
from tests.once import made_once
from tests.tiny import tiny_store, write_folder

OFFICE, TENT = "office", "tent"
PICKLE = "victim.pickle"
SCAN, EXHIBIT = b"%PDF- a scan of the list, signed in ink", b"a sheet with a name on it"


@dataclass
class Victim:
    """The file's bytes, its earlier copies in order, what was kept outside, and the keys."""

    file: bytes = b""
    copies: list[bytes] = field(default_factory=list)
    kept: list[KeptNote] = field(default_factory=list)
    keys: dict[str, KeyPair] = field(default_factory=dict)
    """Private keys of officials, by key name and number, such as "wa/1"; of chains, by chain."""

    def behind(self, chain: str) -> int:
        """How many events of that chain the largest kept checkpoint covers."""
        return max(
            (note.checkpoint.size for note in self.kept if note.checkpoint.origin.endswith(chain)),
            default=0,
        )


@cache
def victim() -> Victim:
    """The ledger, made once a run."""
    made: Victim = pickle.loads((made_once("victim", _make) / PICKLE).read_bytes())
    return made


def _make(folder: Path) -> None:
    with tiny_store(write_folder(folder / "season")) as store:
        (folder / PICKLE).write_bytes(pickle.dumps(_Season(store).play()))


class _Season:
    def __init__(self, store: SqliteStore) -> None:
        self.store = store
        self.victim = Victim()
        self.minute = 0
        self._keep_copy()

    def play(self) -> Victim:
        """Everything that happens, in order."""
        self._enroll("wa/1")
        self._enroll("we/1")
        self._first_game()
        self._second_game()
        self._tent()
        self._papers()
        self._tail()
        for chain in (OFFICE, TENT):
            private = self.store.key(origin_in(self.store, chain))
            assert private is not None
            self.victim.keys[chain] = KeyPair(private, b"")
        self.victim.file = self.victim.copies[-1]
        return self.victim

    def _first_game(self) -> None:
        self._state("list", team="ash", player="a1", by="wa", reason="over", ref="first line")
        self._state("list", team="ash", player="a2", by="wa", reason="absent", ref="second line")
        self._state("list", team="elm", player="e1", by="we", reason="injured")
        self._state("weigh", team="elm", player="e2", by="wa", value="ok", note="shoes off first")
        for official in ("we/1", "wa/1"):
            for team in ("ash", "elm"):
                self._sign("g1", team, official)
        self._state("late_weigh", team="ash", player="a2", by="we", value="ok")
        self._state("strike_off", team="ash", player="a2", by="we")
        self._sign("g1", "ash", "we/1")
        self._state("plays", team="ash", player="a2", by="pc", half=1, count=4)

    def _second_game(self) -> None:
        self._state("list", game="g2", team="ash", player="a1", by="wa", reason="over")
        self._state("list", game="g2", team="ash", player="a2", by="wa", reason="other")
        mistaken = self._state("list", game="g2", team="ash", player="u1", by="wa", reason="over")
        self._state("withdraw", game=None, by="wa", target=mistaken, reason="another child")
        self._state("strike_off", game="g2", team="ash", player="a2", by="we", reason="other")
        self._enroll("wa/2", instead_of="wa/1")
        self._sign("g2", "ash", "wa/2")
        self._print()
        self._state("weigh", game="g2", team="ash", player="a2", by="we", value="over")
        self._sign("g2", "ash", "we/1")

    def _tent(self) -> None:
        key = make_key()
        origin = origin_in(self.store, OFFICE).replace(OFFICE, TENT)
        self._begin(TENT, origin, key)
        self._state("list", chain=TENT, game="g2", team="elm", player="e1", by="we", reason="over")
        self._state("weigh", chain=TENT, game="g2", team="elm", player="e2", by="wa", value="ok")
        self._sign("g2", "elm", "we/1", chain=TENT)
        self._state("concern", game="g2", by="so", reason="helmet", note="a strap was loose")
        self._state("stripe", chain=TENT, game="g2", team="elm", player="e1", by="we")

    def _papers(self) -> None:
        store = self.store
        shown = show_list(store, "g1", "elm", "wa", chain=OFFICE)
        countersign_in_ink(store, shown, SCAN, "scan.pdf")
        digest = sha256(EXHIBIT).hexdigest()
        for name, content in (("sheet.txt", EXHIBIT), ("photo.jpg", b"a photo")):
            value = sha256(content).hexdigest()
            with store.writing() as writing:
                writing.keep_exhibit(value, name, content)
            self._state("case_exhibit", game=None, by="rg", case="c1", value=value)
        redact(store, digest, b"a sheet", "sheet-2.txt", by="rg", reason="a name", chain=OFFICE)
        self._keep_copy()
        erase(store, events_of_child(store, "e2"), by="rg", chain=OFFICE, player="e2")
        self._keep_copy()
        self._sign("g1", "ash", "wa/2")

    def _tail(self) -> None:
        self._state("plays", team="elm", player="e2", by="pc", half=1, count=7)
        self._state("stripe", chain=TENT, game="g2", team="elm", player="e2", by="we", note="tape")
        self._state("plays", team="elm", player="e2", by="pc", half=2, count=9, note="by hand")
        self._state("close", chain=TENT, game="g2", team="elm", by="we")

    def _state(self, kind: str, *, chain: str = OFFICE, by: str, game: str | None = "g1",
               team: str | None = None, player: str | None = None, note: str = "",
               **data: Any) -> str:  # fmt: skip
        self.minute += 1
        at = f"2026-09-05T14:{self.minute:02}:00.000Z"
        personal = {"note": note} if note else {}
        if kind == "withdraw":
            personal["reason"] = data.pop("reason")
        statement = Accepted(kind, data, personal, at, at, by, game, team, player)
        with self.store.writing() as writing:
            event_id = writing.append([statement], chain=chain)[0]
        self._keep_copy()
        return event_id

    def _begin(self, chain: str, origin: str, key: KeyPair) -> None:
        data = {"origin": origin, "key": format_verifier_key(VerifierKey(origin, key.public))}
        with self.store.writing() as writing:
            writing.keep_key(origin, key.private)
            writing.append([Accepted("chain_key", data)], chain=chain)
        self._keep_copy()

    def _enroll(self, name: str, *, instead_of: str = "") -> None:
        official, pair = name.partition("/")[0], make_key()
        with self.store.writing() as writing:
            if instead_of:
                data = {"official": official, "key": self._line(instead_of)}
                writing.append([Accepted("key_revoked", data, by="rg")], chain=OFFICE)
            self.victim.keys[name] = pair
            data = {"official": official, "key": self._line(name)}
            writing.append([Accepted("official_key", data, by="rg")], chain=OFFICE)
            writing.keep_key(self._key(name).key.name, b"sealed, if this were no test")
        self._keep_copy()

    def _key(self, name: str) -> OfficialKey:
        official = name.partition("/")[0]
        bears = key_name(official, origin_in(self.store, OFFICE))
        return OfficialKey(official, cosigner_key(bears, self.victim.keys[name].public), "")

    def _line(self, name: str) -> str:
        return format_verifier_key(self._key(name).key)

    def _sign(self, game: str, team: str, name: str, *, chain: str = OFFICE) -> None:
        key = self._key(name)
        shown = show_list(self.store, game, team, key.official, chain=chain)
        signed = countersign(self.store, shown, key, self.victim.keys[name].private)
        self._keep(f"receipt of {signed.event_id}", signed.note)
        self._keep_copy()

    def _print(self) -> None:
        self._keep("paper", sign_head(self.store, OFFICE))

    def _keep(self, file: str, note: Note) -> None:
        self.victim.kept.append(KeptNote(file, note, parse_checkpoint(note.text)))

    def _keep_copy(self) -> None:
        self.store.connection.execute("pragma wal_checkpoint(truncate)")
        self.victim.copies.append(self.store.connection.serialize())
