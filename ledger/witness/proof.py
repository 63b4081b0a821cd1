"""A proof: some statements of a ledger, letter for letter, with the hashes that place them in it.

Canonical JSON (RFC 8785), so one proof has one form:

    {"format":"weighbook-proof","v":1,
     "keys":[…],                 verifier keys (c2sp.org/signed-note) of all who signed, sorted
     "chains":[                  sorted by name
       {"chain":"office",
        "note":"…",              a checkpoint (c2sp.org/tlog-checkpoint) signed by these keys only
        "earlier":[              checkpoints signed before it, smallest first
          {"note":"…","proof":[…]}],     the later one continues this one
        "events":[               by sequence number
          {"event":"…","proof":[…]}]}],  canonical text; it is in the checkpoint's tree
     "disclosures":[             by event, then field: personal text chosen for this proof
       {"event":"office:57","disclosure":"…"}],
     "hashes":[…]}               base64 of 32 bytes, in the order of their first use above

A "proof" is a list of places in "hashes", counted from 0; events of one game share most of theirs.
Reading is strict: only bytes that would be written the same way are read. This module checks the
form only; `ledger.witness.check` checks the rest.

The file is this JSON in gzip (RFC 1952), always with the same ten bytes first: no name, time or
system, so the same proof is the same file.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ledger.chain.canonical import canonical, parse_canonical
from ledger.chain.hashing import HASH_BYTES
from ledger.chain.note import format_base64, parse_base64
from ledger.errors import InputError, IntegrityError

FORMAT, VERSION = "weighbook-proof", 1
MOST_BYTES = 64 * 1024 * 1024
"""Of a proof and of its file: ten times a whole season of a large league."""
HEADER = b"\x1f\x8b\x08\x00\x00\x00\x00\x00\x02\xff"
"""Deflate, no flags, no time, slowest compression, unknown system (RFC 1952 section 2.3.1)."""


@dataclass(frozen=True, slots=True)
class ProvedEvent:
    """An event's canonical text, and the inclusion proof of leaf seq - 1."""

    text: str
    path: tuple[bytes, ...]


@dataclass(frozen=True, slots=True)
class EarlierCheckpoint:
    """A signed checkpoint, and the proof that the chain's later one continues it."""

    note: str
    path: tuple[bytes, ...]


@dataclass(frozen=True, slots=True)
class ChainProof:
    """The proved events of one chain under one checkpoint note."""

    chain: str
    note: str
    earlier: tuple[EarlierCheckpoint, ...]
    events: tuple[ProvedEvent, ...]


@dataclass(frozen=True, slots=True)
class ShownText:
    """A disclosure, and the id of the event that has its digest."""

    event_id: str
    disclosure: str


@dataclass(frozen=True, slots=True)
class Proof:
    """A whole proof; `keys` are verifier key lines."""

    keys: tuple[str, ...]
    chains: tuple[ChainProof, ...]
    disclosures: tuple[ShownText, ...]


def format_proof(proof: Proof) -> bytes:
    """Return the one form of this proof."""
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
    """Read a proof; InputError for anything else, or another form."""
    _refuse_large(data)
    whole = parse_canonical(data)
    if whole.get("format") != FORMAT:
        raise InputError("not a weighbook proof", hint="weighbook prove writes one.")
    if whole.get("v") != VERSION:
        raise InputError("a proof of an unknown version", hint="Update weighbook.")
    names = ("format", "v", "keys", "chains", "disclosures", "hashes")
    _, _, keys, chains, shown, hashes = _fields(whole, *names)
    table = [parse_base64(each) for each in _list(hashes, str)]
    if any(len(each) != HASH_BYTES for each in table):
        raise InputError(f"the hashes of a proof have {HASH_BYTES} bytes")
    proof = Proof(
        keys=tuple(_list(keys, str)),
        chains=tuple(_chain(each, table) for each in _list(chains, dict)),
        disclosures=tuple(
            ShownText(*_list(_fields(each, "event", "disclosure"), str))
            for each in _list(shown, dict)
        ),
    )
    _refuse_disorder([part.chain for part in proof.chains], "chains")
    _refuse_disorder(proof.keys, "keys")
    if format_proof(proof) != data:
        raise InputError("a proof that is not in canonical form")
    return proof


def pack_proof(proof: Proof) -> bytes:
    """Return the file's bytes; InputError for a proof too large to read again."""
    data = format_proof(proof)
    _refuse_large(data, hint="Prove one game at a time.")
    deflater = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    return HEADER + deflater.compress(data) + deflater.flush() + _trailer(data)


def unpack_proof(data: bytes) -> Proof:
    """Read a proof file; InputError for anything else, IntegrityError if it is damaged.

    Unpacking stops at the size limit: a small file cannot fill the memory.
    """
    if data[: len(HEADER)] != HEADER:
        hint = "weighbook prove writes one. For an evidence bundle: weighbook evidence check."
        raise InputError("not a weighbook proof file", hint=hint)
    _refuse_large(data)
    damaged = IntegrityError("the proof file is damaged", hint="Ask its sender for a new copy.")
    inflater = zlib.decompressobj(-zlib.MAX_WBITS)
    try:
        whole = inflater.decompress(data[len(HEADER) :], MOST_BYTES + 1)
    except zlib.error as error:
        raise damaged from error
    _refuse_large(whole)
    if not inflater.eof or inflater.unused_data != _trailer(whole):
        raise damaged
    return parse_proof(whole)


def _trailer(data: bytes) -> bytes:
    return zlib.crc32(data).to_bytes(4, "little") + len(data).to_bytes(4, "little")


def _refuse_large(data: bytes, hint: str = "") -> None:
    if len(data) > MOST_BYTES:
        raise InputError(f"a proof of more than {MOST_BYTES:,} bytes", hint=hint)


def _chain(value: Any, table: Sequence[bytes]) -> ChainProof:
    chain, note, earlier, events = _fields(value, "chain", "note", "earlier", "events")
    return ChainProof(
        chain=_of(chain, str),
        note=_of(note, str),
        earlier=tuple(
            EarlierCheckpoint(*_pair(each, "note", table)) for each in _list(earlier, dict)
        ),
        events=tuple(ProvedEvent(*_pair(each, "event", table)) for each in _list(events, dict)),
    )


def _pair(value: Any, key: str, table: Sequence[bytes]) -> tuple[str, tuple[bytes, ...]]:
    text, places = _fields(value, key, "proof")
    path = []
    for place in _list(places, int):
        if not 0 <= place < len(table):
            raise InputError(f"a proof names the hash {place} of {len(table)}")
        path.append(table[place])
    return _of(text, str), tuple(path)


def _fields(value: dict[str, Any], *names: str) -> list[Any]:
    if value.keys() != set(names):
        raise InputError(f"a part of a proof has keys other than {', '.join(names)}")
    return [value[name] for name in names]


def _list(value: Any, kind: type) -> list[Any]:
    return [_of(each, kind) for each in _of(value, list)]


def _of(value: Any, kind: type) -> Any:
    if type(value) is not kind:
        raise InputError(f"a part of a proof is not {kind.__name__}")
    return value


def _refuse_disorder(names: Sequence[str], what: str) -> None:
    if list(names) != sorted(set(names)):
        raise InputError(f"the {what} of a proof are not sorted, or one is repeated")
