"""A proof: some statements of a ledger, letter for letter, and what shows that they are in it.

Canonical JSON (RFC 8785), so that one proof is one sequence of bytes:

    {"format":"weighbook-proof","v":1,
     "keys":[…],                 verifier keys (c2sp.org/signed-note) of all who signed, sorted
     "chains":[                  sorted by name
       {"chain":"office",
        "note":"…",              a checkpoint (c2sp.org/tlog-checkpoint), signed by these keys only
        "earlier":[              checkpoints signed before it, smallest first
          {"note":"…","proof":[…]}],     that the later one continues this one
        "events":[               by sequence number
          {"event":"…","proof":[…]}]}],  canonical text; that it is in the checkpoint's tree
     "disclosures":[             by event, then field: personal text that was chosen to go along
       {"event":"office:57","disclosure":"…"}],
     "hashes":[…]}               base64 of 32 bytes, in the order of their first use above

A "proof" is a list of places in "hashes", counted from 0; events of one game share most of theirs.
Reading is strict: what is read and written again is the same bytes, or it is refused. Nothing is
checked here beyond form; that is the work of `ledger.witness.check`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ledger.chain.canonical import canonical, parse_canonical
from ledger.chain.hashing import HASH_BYTES
from ledger.chain.note import format_base64, parse_base64
from ledger.errors import InputError

FORMAT, VERSION = "weighbook-proof", 1
MOST_BYTES = 64 * 1024 * 1024
"""A whole season of a large league is a tenth of it."""


@dataclass(frozen=True, slots=True)
class ProvedEvent:
    """An event's canonical text and its inclusion proof; the leaf is its seq - 1."""

    text: str
    path: tuple[bytes, ...]


@dataclass(frozen=True, slots=True)
class EarlierCheckpoint:
    """A signed checkpoint, and the proof that the chain's later one continues it."""

    note: str
    path: tuple[bytes, ...]


@dataclass(frozen=True, slots=True)
class ChainProof:
    """What is proved of one chain under one checkpoint note."""

    chain: str
    note: str
    earlier: tuple[EarlierCheckpoint, ...]
    events: tuple[ProvedEvent, ...]


@dataclass(frozen=True, slots=True)
class ShownText:
    """A disclosure, and the id of the event whose digest it answers to."""

    event_id: str
    disclosure: str


@dataclass(frozen=True, slots=True)
class Proof:
    """A whole proof; `keys` are verifier key lines."""

    keys: tuple[str, ...]
    chains: tuple[ChainProof, ...]
    disclosures: tuple[ShownText, ...]


def format_proof(proof: Proof) -> bytes:
    """The one form of this proof, in bytes."""
    table: dict[bytes, int] = {}

    def places(path: Sequence[bytes]) -> list[int]:
        return [table.setdefault(each, len(table)) for each in path]

    chains = [
        {
            "chain": part.chain,
            "note": part.note,
            "earlier": [{"note": one.note, "proof": places(one.path)} for one in part.earlier],
            "events": [{"event": one.text, "proof": places(one.path)} for one in part.events],
        }
        for part in proof.chains
    ]
    shown = [{"event": one.event_id, "disclosure": one.disclosure} for one in proof.disclosures]
    return canonical(
        {
            "format": FORMAT,
            "v": VERSION,
            "keys": list(proof.keys),
            "chains": chains,
            "disclosures": shown,
            "hashes": [format_base64(each) for each in table],
        }
    )


def parse_proof(data: bytes) -> Proof:
    """The proof that these bytes are; InputError when they are none, or not in the one form."""
    if len(data) > MOST_BYTES:
        raise InputError(f"a proof of more than {MOST_BYTES:,} bytes")
    whole = parse_canonical(data)
    if whole.get("format") != FORMAT:
        raise InputError("not a proof of weighbook", hint="weighbook prove writes one.")
    if whole.get("v") != VERSION:
        raise InputError("a proof of a version not known here", hint="Update weighbook.")
    names = ("format", "v", "keys", "chains", "disclosures", "hashes")
    _, _, keys, chains, shown, hashes = _fields(whole, *names)
    table = [parse_base64(each) for each in _list(hashes, str)]
    if any(len(each) != HASH_BYTES for each in table):
        raise InputError(f"a proof has hashes of {HASH_BYTES} bytes")
    proof = Proof(
        keys=tuple(_list(keys, str)),
        chains=tuple(_chain(each, table) for each in _list(chains, dict)),
        disclosures=tuple(
            ShownText(*_texts(each, "event", "disclosure")) for each in _list(shown, dict)
        ),
    )
    _refuse_disorder([part.chain for part in proof.chains], "chains")
    _refuse_disorder(proof.keys, "keys")
    if format_proof(proof) != data:
        raise InputError("a proof in another form than the one it is written in")
    return proof


def _chain(value: Any, table: Sequence[bytes]) -> ChainProof:
    chain, note, earlier, events = _fields(value, "chain", "note", "earlier", "events")
    pairs = [_pair(each, "note", table) for each in _list(earlier, dict)]
    proved = [_pair(each, "event", table) for each in _list(events, dict)]
    return ChainProof(
        chain=_of(chain, str),
        note=_of(note, str),
        earlier=tuple(EarlierCheckpoint(*each) for each in pairs),
        events=tuple(ProvedEvent(*each) for each in proved),
    )


def _pair(value: Any, key: str, table: Sequence[bytes]) -> tuple[str, tuple[bytes, ...]]:
    text, places = _fields(value, key, "proof")
    path = []
    for place in _list(places, int):
        if not 0 <= place < len(table):
            raise InputError(f"a proof names the hash {place} of {len(table)}")
        path.append(table[place])
    return _of(text, str), tuple(path)


def _texts(value: Any, *names: str) -> list[str]:
    return [_of(each, str) for each in _fields(value, *names)]


def _fields(value: dict[str, Any], *names: str) -> list[Any]:
    if value.keys() != set(names):
        raise InputError(f"a part of a proof has not exactly the keys {', '.join(names)}")
    return [value[name] for name in names]


def _list(value: Any, kind: type) -> list[Any]:
    return [_of(each, kind) for each in _of(value, list)]


def _of(value: Any, kind: type) -> Any:
    if type(value) is not kind:
        raise InputError(f"a part of a proof is not {kind.__name__}")
    return value


def _refuse_disorder(names: Sequence[str], what: str) -> None:
    if list(names) != sorted(set(names)):
        raise InputError(f"a proof whose {what} are not sorted, each once")
