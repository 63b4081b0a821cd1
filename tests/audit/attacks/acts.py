"""Signed acts: their checkpoints dropped, or cosigned with another's key; a key beyond its game.

The file is the usual one and some acts more: `rg` has a key, a redaction and a correction are
signed with it, and `x`, appointed for g2 only, has a key for that game.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import replace
from functools import cache, partial
from pathlib import Path
from typing import Any

from ledger.chain.cosignature import cosign_note, cosigner_key
from ledger.chain.keys import KeyPair, make_key
from ledger.chain.note import format_note, format_verifier_key, parse_note
from ledger.chain.others import format_others
from ledger.record.accepted import Accepted
from ledger.store.acts import append_act
from ledger.store.chains import heads, origin_in
from ledger.store.erasure import redact
from ledger.store.opening import open_store
from ledger.store.sqlite.store import SqliteStore
from ledger.witness import countersign as signing
from ledger.witness.cosigning import KeySigner
from ledger.witness.keys import OfficialKey, key_name
from tests.audit.attacks.attack import AUDIT, Attack, Hand, in_memory
from tests.audit.attacks.victim import OFFICE, victim

NOW = 1_788_000_000
AT = "2026-09-05T14:58:00.000Z"


def attacks() -> Iterator[Attack]:
    for kind in ("redaction", "official_key", "division"):
        for what, act in {
            "deleted": _delete,
            "without the official's signature": _unsign,
            "cosigned with another official's key instead": partial(_cosign_by, "we/1"),
            "cosigned with a key that its official had for a game": partial(_cosign_by, "x/g2"),
        }.items():
            yield Attack(
                f"a signed act's checkpoint {what}", f"{kind}: checkpoint {what}", AUDIT,
                partial(act, kind), file=_acted,
            )  # fmt: skip
    for what, game in (("another game", "g1"), ("its game, as an act", None)):
        yield Attack(
            "a key for one game used beyond it, past the program",
            f"the key of x for g2 used in {what}", AUDIT, lambda hand: None,
            file=partial(_misused, game),
        )  # fmt: skip


@cache
def _keys() -> dict[str, KeyPair]:
    return {"rg": make_key(), "x/g2": make_key()}


@cache
def _acted() -> bytes:
    return in_memory(_with(lambda store: None))


@cache
def _misused(game: str | None) -> bytes:
    def misuse(store: SqliteStore) -> None:
        own = _key(store, "x", "g2", "x/g2")
        if game is None:
            said = {"how": "key", "others": format_others(heads(store, besides=OFFICE))}
            with store.writing() as writing:
                act = Accepted("season_close", said, {}, AT, AT, "x")
                append_act(writing, act, chain=OFFICE)
                own.sign(writing, OFFICE)
            return
        _state(store, "appoint", by="rg", team="ash", value="x", to="weighmaster")
        shown = signing.show_list(store, game, "ash", "x", chain=OFFICE)
        check = signing.check_in_force
        signing.check_in_force = lambda *given: None
        try:
            signing.countersign(store, shown, own.key, own.private)
        finally:
            signing.check_in_force = check

    return in_memory(_with(misuse))


def _with(more: Any) -> bytes:
    """The victim's file with the acts, and what `more` does to it."""
    with tempfile.TemporaryDirectory() as made:
        path = Path(made) / "acted.weighbook"
        path.write_bytes(victim().file)
        store = open_store(path)
        try:
            _act(store)
            more(store)
            store.connection.execute("pragma wal_checkpoint(truncate)")
            return store.connection.serialize()
        finally:
            store.close()


def _act(store: SqliteStore) -> None:
    own = _key(store, "rg", None, "rg")
    _enroll(store, own, by="dp")
    _state(store, "appoint", by="so", game="g2", team="ash", value="x", to="weighmaster")
    _enroll(store, _key(store, "x", "g2", "x/g2"), by="rg", signer=own)
    digest = next(sha for sha, name in store.exhibits().items() if name == "photo.jpg")
    redact(store, digest, b"half a photo", "photo-2.jpg", by="rg", reason="a face", chain=OFFICE,
           signer=own)  # fmt: skip
    _correct(store, own)


def _correct(store: SqliteStore, own: KeySigner) -> None:
    """The limit of a division, corrected by `rg` with the key."""
    row = next(iter(store.events(kind=["division"]))).event
    data = dict(row.data) | {"carrier_limit_clb": 9000, "corrects": row.id}
    with store.writing() as writing:
        said = Accepted("division", data, {"reason": "a slip"}, None, store.clock(), "rg")
        append_act(writing, said, chain=OFFICE, signer=own)


def _key(store: SqliteStore, official: str, game: str | None, name: str) -> KeySigner:
    pair = _keys()[name]
    key = cosigner_key(key_name(official, origin_in(store, OFFICE), game), pair.public)
    return KeySigner(OfficialKey(official, key, "", game), pair.private)


def _enroll(
    store: SqliteStore, own: KeySigner, *, by: str, signer: KeySigner | None = None
) -> None:
    key = own.key
    data = {"official": key.official, "key": format_verifier_key(key.key)}
    data |= {"game": key.game} if key.game else {}
    with store.writing() as writing:
        append_act(writing, Accepted("official_key", data, by=by), chain=OFFICE, signer=signer)
        writing.keep_key(key.key.name, b"sealed, if this were no test")


def _state(store: SqliteStore, kind: str, *, by: str, game: str | None = None, team: str,
           **data: Any) -> None:  # fmt: skip
    with store.writing() as writing:
        writing.append([Accepted(kind, data, {}, AT, AT, by, game, team)], chain=OFFICE)


def _size(kind: str, hand: Hand) -> int:
    """The number of the last signed act of this kind."""
    query = "select max(seq) from event where chain = 'office' and kind = ? and body like ?"
    return int(hand.run(query, kind, '%"how":"key"%')[0][0])


def _delete(kind: str, hand: Hand) -> None:
    query = "delete from checkpoint where chain = 'office' and size = ?"
    hand.run(query, _size(kind, hand))
    hand.close_ranks()


def _unsign(kind: str, hand: Hand) -> None:
    note = _note(kind, hand)
    _put(kind, hand, format_note(replace(note, signatures=note.signatures[:1])).decode())


def _cosign_by(name: str, kind: str, hand: Hand) -> None:
    note = _note(kind, hand)
    private = (_keys() | victim().keys)[name].private
    official, _, game = name.partition("/")
    bears = note.signatures[0].name
    bears = key_name(official, bears, game if game in ("g1", "g2") else None)
    line = cosign_note(note, bears, private, time=NOW)
    _put(kind, hand, format_note(replace(note, signatures=(note.signatures[0], line))).decode())


def _note(kind: str, hand: Hand) -> Any:
    query = "select note from checkpoint where chain = 'office' and size = ?"
    return parse_note(hand.run(query, _size(kind, hand))[0][0].encode())


def _put(kind: str, hand: Hand, text: str) -> None:
    query = "update checkpoint set note = ? where chain = 'office' and size = ?"
    hand.run(query, text, _size(kind, hand))
