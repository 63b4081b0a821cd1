"""Make a proof from a ledger.

1. Each chain's checkpoint is the latest that an official cosigned and that includes all its events
   asked for; if there is none, the chain's own signed head.
2. Earlier checkpoints go along, each with the proof that the chain's checkpoint continues it: those
   of the proved countersignatures, the reader's receipts, and the latest cosigned one if the head
   was used.
3. Key events go along, and the roles of those who signed, to show whose key is whose. Nothing else.
   So does the key with which a phone signed a list.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.event import HELD, Event, place_of
from ledger.chain.merkle import prove_consistency, prove_inclusions, root
from ledger.chain.note import Note, format_note, parse_note, parse_verifier_key
from ledger.errors import InputError, IntegrityError
from ledger.record.kinds import BRINGS_IN, KEYS
from ledger.store.chains import origin_in, sign_head
from ledger.store.store import Store, Stored
from ledger.witness.proof import ChainProof, EarlierCheckpoint, Proof, ProvedEvent, ShownText
from ledger.witness.vouching import vouched


@dataclass(frozen=True)
class _Signed:
    """A checkpoint note, and the events of the keys that cosigned it."""

    size: int
    note: str
    keys: tuple[Event, ...] = ()


@dataclass
class _Part:
    """The part to prove of a chain: sequence numbers and checkpoints."""

    asked: frozenset[int]
    seqs: set[int]
    note: _Signed
    earlier: tuple[_Signed, ...] = ()
    phones: tuple[Event, ...] = ()

    @property
    def keys(self) -> dict[str, Event]:
        """By id, the events of the keys that cosigned, and of those that signed on phones."""
        signed = (*self.earlier, self.note)
        return {key.id: key for one in signed for key in one.keys} | {
            key.id: key for key in self.phones
        }


def prove_statements(
    store: Store,
    ids: Collection[str],
    disclose: Collection[tuple[str, str]] = (),
    receipts: Sequence[Note] = (),
    *,
    with_late: bool = True,
) -> Proof:
    """Prove these events; `disclose` are (event id, field) of the personal text to include.

    Erased text is left out. `receipts` are checkpoints that the reader has. What phones witnessed
    comes in late: without it (`with_late`) the same lengths of the chains give the same proof for
    good. Raises InputError for
    an event or receipt from another ledger, IntegrityError for a receipt that this ledger does not
    continue, StoreError if no kept checkpoint includes the events and the chain's key is not here.
    """
    parts = _Planner(store, ids, receipts, with_late=with_late).parts
    kept = {
        (row.event_id, row.field): row.text
        for row in store.disclosures(sorted({event_id for event_id, _ in disclose}))
    }
    shown = sorted(set(disclose) & kept.keys(), key=lambda one: (*place_of(one[0]), one[1]))
    return Proof(
        keys=tuple(sorted(_key_lines(store, parts))),
        chains=tuple(_prove_chain(store, chain, part) for chain, part in sorted(parts.items())),
        disclosures=tuple(ShownText(event_id, kept[event_id, name]) for event_id, name in shown),
    )


class _Planner:
    """Finds the parts. A signer's key may be in another chain, which is then a part too."""

    def __init__(
        self, store: Store, ids: Collection[str], receipts: Sequence[Note], *, with_late: bool
    ) -> None:
        self._store = store
        self._with_late = with_late
        self._receipts = self._sizes_of(receipts)
        asked: dict[str, set[int]] = {}
        for stored in store.events_by_id(sorted(set(ids))):
            asked.setdefault(stored.event.chain, set()).add(stored.event.seq)
        self.parts: dict[str, _Part] = {}
        for chain, seqs in asked.items():
            self._plan(chain, seqs, seqs)
        while more := list(self._missing()):
            for chain, seqs in more:
                part = self.parts.get(chain)
                self._plan(chain, seqs | (part.seqs if part else set()), part.asked if part else ())

    def _plan(self, chain: str, seqs: set[int], asked: Iterable[int]) -> None:
        seqs = seqs | {1}
        cosigned = self._cosigned.get(chain, {})
        held = self._receipts.get(chain, {})
        fitting = [size for size in cosigned if size >= max({*seqs, *held})]
        note = cosigned[max(fitting)] if fitting else self._head(chain)
        asked = frozenset(asked)
        sizes = asked & cosigned.keys()
        if not note.keys and cosigned and max(cosigned) >= min(asked, default=note.size):
            sizes |= {max(cosigned)}
        before = {size: cosigned[size] for size in sizes} | held
        earlier = tuple(before[size] for size in sorted(before) if size < note.size)
        phones = tuple(self._phones_of(chain, asked))
        self.parts[chain] = _Part(asked, seqs, note, earlier, phones)

    def _phones_of(self, chain: str, asked: Iterable[int]) -> Iterator[Event]:
        """Yield the events of the keys with which phones signed these events."""
        for stored in self._by_phone:
            if stored.event.chain == chain and stored.event.seq in asked:
                known = vouched(self._store, stored.event)
                if known is not None:
                    yield self._store.event(known.key.since)

    def _missing(self) -> Iterator[tuple[str, set[int]]]:
        """Yield, by chain, the key and role events that the parts still lack."""
        needed: dict[str, set[int]] = {}
        for chain, part in self.parts.items():
            for event in self._about_signers(chain, part):
                needed.setdefault(event.chain, set()).add(event.seq)
        for chain, seqs in needed.items():
            if chain not in self.parts or not seqs <= self.parts[chain].seqs:
                yield chain, seqs

    def _about_signers(self, chain: str, part: _Part) -> Iterator[Event]:
        yield from part.keys.values()
        officials = {key.data["official"] for key in part.keys.values()}
        for event in (*self._key_events, *self._role_events):
            who = event.data["value" if event.kind == "appoint" else "official"]
            if who in officials and event.chain == chain and event.seq <= part.note.size:
                yield event

    def _head(self, chain: str) -> _Signed:
        return self._signed(sign_head(self._store, chain))

    def _sizes_of(self, receipts: Sequence[Note]) -> dict[str, dict[int, _Signed]]:
        """Return the receipts by chain and size, each compared with the ledger."""
        origins = {origin_in(self._store, chain): chain for chain in self._store.lengths()}
        found: dict[str, dict[int, _Signed]] = {}
        for note in receipts:
            receipt = parse_checkpoint(note.text)
            if receipt.origin not in origins:
                hint = (
                    "Use the file that weighbook sign --receipt wrote for this league and season."
                )
                raise InputError(f"a receipt from another ledger: {receipt.origin}", hint=hint)
            chain = origins[receipt.origin]
            hashes = self._store.hashes(chain)
            if len(hashes) < receipt.size or root(hashes[: receipt.size]) != receipt.root:
                raise IntegrityError(
                    f"this receipt of {receipt.size:,} events is not from this ledger",
                    hint="Keep the receipt, and call the division president.",
                )
            found.setdefault(chain, {})[receipt.size] = self._signed(note)
        return found

    def _signed(self, note: Note) -> _Signed:
        """Return the note with only the signatures of the chain and the ledger's officials."""
        checkpoint = parse_checkpoint(note.text)
        lines, keys = [], {}
        for line in note.signatures:
            if event := self._official_keys.get((line.name, line.key_id)):
                keys[event.id] = event
            if event or line.name == checkpoint.origin:
                lines.append(line)
        text = format_note(Note(note.text, tuple(lines))).decode()
        return _Signed(checkpoint.size, text, tuple(keys.values()))

    @cached_property
    def _cosigned(self) -> dict[str, dict[int, _Signed]]:
        """The kept checkpoints that an official cosigned, by chain and size."""
        found: dict[str, dict[int, _Signed]] = {}
        late = {(one.event.chain, one.event.seq) for one in self._by_phone}
        for kept in self._store.checkpoints():
            if (kept.chain, kept.size) in late and not self._with_late:
                continue
            signed = self._signed(parse_note(kept.note.encode()))
            if signed.keys:
                found.setdefault(kept.chain, {})[kept.size] = signed
        return found

    @cached_property
    def _official_keys(self) -> dict[tuple[str, bytes], Event]:
        """The events of the officials' keys, by key name and key id."""
        return {
            (key.name, key.key_id): event
            for event in self._key_events
            if event.kind == "official_key"
            for key in (parse_verifier_key(event.data["key"]),)
        }

    @cached_property
    def _by_phone(self) -> list[Stored]:
        found = self._store.events(kind=["countersign"])
        return [stored for stored in found if stored.event.data.get("how") == HELD]

    @cached_property
    def _key_events(self) -> list[Event]:
        return [stored.event for stored in self._store.events(kind=KEYS)]

    @cached_property
    def _role_events(self) -> list[Event]:
        return [stored.event for stored in self._store.events(kind=BRINGS_IN["official"])]


def _key_lines(store: Store, parts: Mapping[str, _Part]) -> set[str]:
    """Return the verifier keys of the chains and their cosigners."""
    own = store.events_by_id([f"{chain}:1" for chain in sorted(parts)])
    lines = {str(stored.event.data["key"]) for stored in own}
    for part in parts.values():
        lines |= {str(key.data["key"]) for key in part.keys.values()}
    return lines


def _prove_chain(store: Store, chain: str, part: _Part) -> ChainProof:
    hashes = store.hashes(chain)[: part.note.size]
    paths = prove_inclusions(hashes, [seq - 1 for seq in part.seqs])
    ids = [f"{chain}:{seq}" for seq in sorted(part.seqs)]
    return ChainProof(
        chain=chain,
        note=part.note.note,
        earlier=tuple(
            EarlierCheckpoint(one.note, prove_consistency(hashes, one.size, part.note.size))
            for one in part.earlier
        ),
        events=tuple(
            ProvedEvent(stored.body, paths[stored.event.seq - 1])
            for stored in store.events_by_id(ids)
        ),
    )
