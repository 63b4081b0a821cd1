"""A phone's key and signature: forged, borrowed, repeated, for a ledger that never was.

The file is the usual one and more: the key of `we` is on a phone, which signs the list of ash in
g1, and cosigns after others have written on. Who attacks can append to a chain, as its key lies in
the file, but has no phone unless the attack says so.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Mapping
from functools import cache, partial
from pathlib import Path
from typing import Any

from ledger.audit.audit import audit
from ledger.chain.event import HELD
from ledger.chain.keys import KeyPair, make_key
from ledger.chain.note import add_signature, format_note, parse_note
from ledger.chain.others import State, format_others
from ledger.record.accepted import Accepted
from ledger.store.chains import origin_in, sign_head
from ledger.store.opening import open_store
from ledger.store.sqlite.store import SqliteStore
from ledger.store.store import StoredCheckpoint
from ledger.store.trees import Trees
from ledger.witness.countersign import append_signature, show_list, under_the_lock
from ledger.witness.officials import revoke
from ledger.witness.phone_keys import enroll_phone, read_phone_key
from ledger.witness.phone_signing import prove_heads, show_signed, witness_signed
from tests.audit.attacks.attack import AUDIT, NOBODY, NOTE, Attack, Hand, Outcome, in_memory, opened
from tests.audit.attacks.victim import OFFICE, TENT, victim
from tests.phone import Phone

Seen = Mapping[str, State]
Do = Callable[[SqliteStore, Phone], Any]
LIST = ("g1", "elm")
UNSEEN = State(5, bytes(32))


def attacks() -> Iterator[Attack]:
    for what, act in _signing().items():
        yield _attack(f"a phone's signature {what}", partial(act, *LIST))
    for what, act in _witnessing().items():
        yield _attack(f"a phone's cosigned checkpoint {what}", act)
    yield _attack("a phone's key whose proof another key made", _enroll_without_proof)
    yield _attack("a phone's key held in a way of tomorrow", _enroll_unknown)
    line = "a phone's cosigned checkpoint deleted"
    yield Attack(line, line, NOTE, outcome=_delete)
    line = "a phone's cosigned checkpoint kept earlier than others"
    yield Attack(line, line, NOBODY, _move, file=partial(_with, _witness))


def _signing() -> dict[str, Callable[[str, str, SqliteStore, Phone], Any]]:
    return {
        "made with another key": _with_another_key,
        "made with the key that it replaced": _with_the_key_before,
        "for another list": _for_another_list,
        "for the heads of another moment": _for_another_moment,
        "for heads that never were, with the phone": partial(_seen, {OFFICE: UNSEEN}),
        "for a chain that never was, with the phone": partial(_seen, {"booth": UNSEEN}),
        "for more than there was, with the phone": partial(_seen, {TENT: State(999, bytes(32))}),
        "for a chain other than its own, with the phone": partial(_seen, {}),
        "put in twice": _twice,
        "after its key was revoked, with the phone": _revoked,
    }


def _witnessing() -> dict[str, Do]:
    return {
        "cosigned with another phone's key": _cosigned_by_another,
        "cosigned for another event": _cosigned_for_another,
        "of an event that no phone signed": _cosigned_the_end,
        "beside a second one": _cosigned_twice,
    }


def _attack(row: str, act: Do) -> Attack:
    return Attack(row, row, AUDIT, file=partial(_with, act))


# What is signed.


def _with_another_key(game: str, team: str, store: SqliteStore, phone: Phone) -> None:
    _sign(store, Phone("we", phone.origin, pair=_keys()["stranger"]), game, team)


def _with_the_key_before(game: str, team: str, store: SqliteStore, phone: Phone) -> None:
    _sign(store, Phone("we", phone.origin, pair=victim().keys["we/1"]), game, team)


def _for_another_list(game: str, team: str, store: SqliteStore, phone: Phone) -> None:
    phone.seen = _heads(store)
    number = show_list(store, "g1", "ash", "we", chain=OFFICE).number
    _append(store, game, team, phone.signature(phone.origin, "g1", "ash", number), phone.seen)


def _for_another_moment(game: str, team: str, store: SqliteStore, phone: Phone) -> None:
    phone.seen = _heads(store)
    number = show_list(store, game, team, "we", chain=OFFICE).number
    signature = phone.signature(phone.origin, game, team, number)
    hashes = store.hashes(OFFICE)
    before = prove_heads(store, {OFFICE: len(hashes) - 1}, {})[OFFICE].state
    _append(store, game, team, signature, dict(phone.seen) | {OFFICE: before})


def _seen(seen: Seen, game: str, team: str, store: SqliteStore, phone: Phone) -> None:
    """A phone that was shown something else, and signed it."""
    heads = _heads(store)
    phone.seen = heads | seen if seen else {TENT: heads[TENT]}
    number = show_list(store, game, team, "we", chain=OFFICE).number
    _append(store, game, team, phone.signature(phone.origin, game, team, number), phone.seen)


def _twice(game: str, team: str, store: SqliteStore, phone: Phone) -> None:
    signature = _sign(store, phone, game, team)
    _append(store, game, team, signature, phone.seen)


def _revoked(game: str, team: str, store: SqliteStore, phone: Phone) -> None:
    revoke(store, "we", by="rg", reason="lost", chain=OFFICE)
    _sign(store, phone, game, team)


# What is witnessed.


def _cosigned_by_another(store: SqliteStore, phone: Phone) -> None:
    _keep(store, _event(store), Phone("we", phone.origin, pair=_keys()["stranger"]))


def _cosigned_for_another(store: SqliteStore, phone: Phone) -> None:
    """The phone's true cosignature, kept as that of its other signature."""
    _sign(store, phone, "g1", "elm")
    event = _event(store)
    note = show_signed(store, event, {}).note
    seq = int(event.rpartition(":")[2])
    line = parse_note(f"{note.text}\n{phone.cosignature(note)}\n".encode()).signatures[0]
    text = format_note(add_signature(note, line)).decode()
    with store.writing() as writing:
        writing.keep_checkpoint(StoredCheckpoint(OFFICE, seq - 2, text))


def _cosigned_the_end(store: SqliteStore, phone: Phone) -> None:
    _state(store)
    note = sign_head(store, OFFICE)
    line = parse_note(f"{note.text}\n{phone.cosignature(note)}\n".encode()).signatures[0]
    text = format_note(add_signature(note, line)).decode()
    with store.writing() as writing:
        writing.keep_checkpoint(StoredCheckpoint(OFFICE, store.head(OFFICE).seq, text))


def _cosigned_twice(store: SqliteStore, phone: Phone) -> None:
    for _ in range(2):
        _keep(store, _event(store), phone)


def _witness(store: SqliteStore, phone: Phone) -> None:
    event = _event(store)
    witness_signed(store, event, phone.cosignature(show_signed(store, event, {}).note))


def _move(hand: Hand) -> None:
    ((last,),) = hand.run("select max(position) from checkpoint")
    for before, after in ((last, -1), (last - 1, last), (-1, last - 1)):
        hand.run("update checkpoint set position = ? where position = ?", after, before)


def _delete() -> Outcome:
    """What is left is signed, and its witness is missing: a note says so."""
    report = audit(opened(_with(lambda store, phone: None)))
    assert not report.problems
    is_noted = any("not yet witnessed; the phone of we" in note for note in report.notes)
    noted = frozenset({"note of the phone"})
    return Outcome(NOTE, noted, False) if is_noted else Outcome(NOBODY, frozenset(), False)


# Keys.


def _enroll_without_proof(store: SqliteStore, phone: Phone) -> None:
    _enroll(store, {"held": HELD, "proof": Phone("so", phone.origin).proof})


def _enroll_unknown(store: SqliteStore, phone: Phone) -> None:
    _enroll(store, {"held": "tomorrow"})


def _enroll(store: SqliteStore, more: dict[str, Any]) -> None:
    data = {"official": "so", "key": Phone("so", origin_in(store, OFFICE)).line} | more
    with store.writing() as writing:
        writing.append([Accepted("official_key", data, by="rg")], chain=OFFICE)


@cache
def _keys() -> dict[str, KeyPair]:
    return {"phone": make_key(), "stranger": make_key()}


# The file.


def _with(act: Do) -> bytes:
    """The victim's file, signed by a phone, and what `act` does then."""
    return in_memory(_changed(_phoned(), act))


@cache
def _phoned() -> bytes:
    return _changed(victim().file, _use)


def _use(store: SqliteStore, phone: Phone) -> None:
    enroll_phone(store, read_phone_key("we", phone.line, phone.proof), by="rg")
    _sign(store, phone, "g1", "ash")
    _state(store)


def _changed(file: bytes, act: Do) -> bytes:
    with tempfile.TemporaryDirectory() as made:
        path = Path(made) / "phoned.weighbook"
        path.write_bytes(file)
        store = open_store(path)
        try:
            act(store, Phone("we", origin_in(store, OFFICE), pair=_keys()["phone"]))
            store.connection.execute("pragma wal_checkpoint(truncate)")
            return store.connection.serialize()
        finally:
            store.close()


def _heads(store: SqliteStore) -> dict[str, State]:
    trees = Trees(store)
    trees.catch_up()
    return trees.others("")


def _sign(store: SqliteStore, phone: Phone, game: str, team: str) -> str:
    phone.seen = _heads(store)
    number = show_list(store, game, team, "we", chain=OFFICE).number
    signature = phone.signature(phone.origin, game, team, number)
    _append(store, game, team, signature, phone.seen)
    return signature


def _append(store: SqliteStore, game: str, team: str, signature: str, seen: Seen) -> None:
    """As the ledger does it, unchecked."""
    shown = show_list(store, game, team, "we", chain=OFFICE)
    said = {"how": HELD, "signature": signature, "seen": format_others(seen)}
    under_the_lock(
        store, shown, lambda writing, now, trees: append_signature(writing, shown, now, said, trees)
    )


def _event(store: SqliteStore) -> str:
    """The phone's last signature."""
    found = store.events(kind=["countersign"])
    return max((s for s in found if s.event.data.get("how") == HELD), key=lambda s: s.seq).id


def _keep(store: SqliteStore, event: str, phone: Phone) -> None:
    note = show_signed(store, event, {}).note
    line = parse_note(f"{note.text}\n{phone.cosignature(note)}\n".encode()).signatures[0]
    text = format_note(add_signature(note, line)).decode()
    with store.writing() as writing:
        seq = int(event.rpartition(":")[2])
        writing.keep_checkpoint(StoredCheckpoint(OFFICE, seq, text))


def _state(store: SqliteStore) -> None:
    """Something else that is written in between."""
    at = "2026-09-05T14:59:00.000Z"
    with store.writing() as writing:
        said = Accepted("concern", {"reason": "other"}, {}, at, at, "so", "g2")
        writing.append([said], chain=OFFICE)
