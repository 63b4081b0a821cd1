"""A chain rewritten from an event on, every hash and link right; with and without keys.

The file has each chain's private key, so the attacker has it. Each variant is tried from each
event of each chain. A stated countersignature (one of a day file) claims no key and no list.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, partial
from hashlib import sha256

import orjson

from ledger.audit.eligibility import ListReading
from ledger.audit.rows import RawEvent
from ledger.chain.canonical import canonical
from ledger.chain.checkpoint import Checkpoint, parse_checkpoint, sign_checkpoint
from ledger.chain.cosignature import check_cosignatures, cosign_note, cosigner_key
from ledger.chain.event import Event, parse_event
from ledger.chain.keys import KeyPair, make_key
from ledger.chain.merkle import root
from ledger.chain.note import (
    Note,
    VerifierKey,
    add_signature,
    format_note,
    format_verifier_key,
    parse_note,
    parse_verifier_key,
)
from ledger.chain.others import covered_by
from tests.audit.attacks.anew import Body, reached, write_anew
from tests.audit.attacks.attack import AUDIT, COPY, NOBODY, Attack, Hand
from tests.audit.attacks.rows import all_rows
from tests.audit.attacks.victim import SCAN, victim

BOTH = ("wa/1", "wa/2", "we/1")
ONE = ("wa/1", "wa/2")
NOW = 1_788_000_000
Change = Callable[[Body], None]


@dataclass(frozen=True)
class Means:
    """What a forger does besides rehashing: whose keys they use, and what they leave out."""

    words: str
    signs_chain: bool = True
    officials: tuple[str, ...] = ()
    unsigns: bool = False
    inks: bool = False
    noticed_by: str = AUDIT


MEANS = (
    Means("without the chain's key", signs_chain=False),
    Means("with the chain's key, cosignatures left as they were"),
    Means("with the keys of the chain and of one team", officials=ONE),
    Means("with the chain's key, countersignatures turned into statements", unsigns=True,
          noticed_by=COPY),
    Means("with the keys of the chain and of one team, the other's countersignatures turned into "
          "statements", officials=ONE, unsigns=True, noticed_by=COPY),
    Means("with the chain's key, countersignatures turned into signatures in ink", unsigns=True,
          inks=True, noticed_by=COPY),
    Means("with the keys of the chain and of both teams", officials=BOTH, noticed_by=COPY),
)  # fmt: skip


def attacks() -> Iterator[Attack]:
    for row in all_rows():
        rewritten = reached(row.chain, row.seq)
        is_free = all(seq > victim().behind(chain) for chain, seq in rewritten.items())
        for means in MEANS:
            noticed_by = NOBODY if is_free else means.noticed_by
            if means.officials == ONE and not _signed_since(rewritten):
                noticed_by = NOBODY if is_free else COPY
            yield Attack(
                f"the chain rebuilt from any event, {means.words}",
                f"rebuilt from {row.chain}:{row.seq} {means.words}",
                noticed_by,
                partial(rebuild, row.chain, row.seq, _other_salt, means),
            )
        if len(rewritten) > 1:
            yield Attack(
                "the chain rebuilt from any event, what another chain's countersignature says of "
                "it ignored",
                f"rebuilt from {row.chain}:{row.seq}, the other chain ignored",
                AUDIT,
                partial(rebuild, row.chain, row.seq, _other_salt, MEANS[-1], fits_others=False),
            )
        if row.kind == "list":
            yield from _lists(row.chain, row.seq)
    for chain in ("office", "tent"):
        yield Attack(
            "the whole ledger rewritten, with new keys for everyone",
            f"{chain} with keys of its own", COPY, partial(_all_new, chain),
        )  # fmt: skip


def _signed_since(rewritten: Mapping[str, int]) -> bool:
    """Whether the other team signed one of these events."""
    rows = [row for row in all_rows() if row.seq >= rewritten.get(row.chain, 1 << 40)]
    signed = [orjson.loads(row.body) for row in rows if row.kind == "countersign"]
    return any((body["by"], body["data"].get("how")) == ("we", "key") for body in signed)


def _lists(chain: str, seq: int) -> Iterator[Attack]:
    is_withdrawn = any(f'"target":"{chain}:{seq}"' in row.body for row in all_rows())
    for what, change in (("reason", _other_reason), ("player", _other_player)):
        name = f"{chain}:{seq} with another {what}"
        line = "a signed list changed, the chain rebuilt and signed with the keys of both teams"
        act = partial(rebuild, chain, seq, change, Means("", officials=BOTH))
        if not is_withdrawn:  # else no signed digest tells of it
            yield Attack(line, f"{name}, digests left", AUDIT, act)
        for means, noticed_by, whose in (
            (Means("", officials=ONE), AUDIT, "of one team"),
            (Means("", officials=BOTH), COPY, "of both teams"),
        ):
            line = f"a signed list and its digest changed, signed again with the keys {whose}"
            act = partial(rebuild, chain, seq, change, means, derives_lists=True)
            yield Attack(line, f"{name}, {whose}", noticed_by, act)


def rebuild(
    chain: str, first: int, change: Change, means: Means, hand: Hand, *,
    derives_lists: bool = False, fits_others: bool = True,
) -> None:  # fmt: skip
    """Change event `first` of the chain, make everything after it fit, sign what can be signed."""
    notes = {(of, size): parse_note(text.encode()) for of, size, text in
             hand.run("select chain, size, note from checkpoint")}  # fmt: skip
    written: list[tuple[str, Event]] = []

    def edit(row: RawEvent, body: Body, is_after: bool) -> bool:
        is_first = (row.chain, row.seq) == (chain, first)
        if is_first:
            change(body)
        if is_first or is_after:
            if means.unsigns and not can_sign(notes.get((row.chain, row.seq)), means.officials):
                _unsign(body, inks=means.inks)
            if derives_lists and row.chain == chain and "shown" in body["data"]:
                _sign_what_is_there(body, written)
        written.append((row.clock, parse_event(canonical(body))))
        return is_first

    hashes, begun = write_anew(hand, edit, fits_others=fits_others)
    for (of, size), note in notes.items():
        if size >= begun.get(of, 1 << 40):
            _sign_again(hand, of, size, hashes[of], note, means)
    hand.close_ranks()


def _sign_what_is_there(body: Body, written: list[tuple[str, Event]]) -> None:
    """The list and its number as the events give them now, which a signature covers."""
    covered = covered_by(parse_event(canonical(body)))
    there = [pair for pair in written if covered.covers(pair[1].chain, pair[1].seq)]
    there.sort(key=lambda pair: (pair[0], pair[1].chain, pair[1].seq))
    shown = body["data"]["shown"]
    reading = ListReading([one for _, one in there], shown["game"], shown["team"])
    shown |= {"rows": reading.rows(), "lines": reading.lines()}
    body["data"]["list"] = sha256(canonical(shown)).hexdigest()


def _sign_again(
    hand: Hand, chain: str, size: int, hashes: list[bytes], note: Note, means: Means
) -> None:
    able = can_sign(note, means.officials)
    if means.unsigns and not able:
        hand.run("delete from checkpoint where chain = ? and size = ?", chain, size)
        return
    if not means.signs_chain:
        return
    sign_again(hand, chain, note, hashes, victim().keys[chain], able)


def sign_again(
    hand: Hand, chain: str, note: Note, hashes: list[bytes], own: KeyPair, signer: KeyPair | None
) -> None:
    """A checkpoint of the size of this one, over these hashes; cosigned again, or as it was."""
    signed = parse_checkpoint(note.text)
    size = signed.size
    again = sign_checkpoint(Checkpoint(signed.origin, size, root(hashes[:size])), own.private)
    line = note.signatures[1]
    if signer:
        line = cosign_note(again, line.name, signer.private, time=NOW)
    text = format_note(add_signature(again, line)).decode()
    hand.run("update checkpoint set note = ? where chain = ? and size = ?", text, chain, size)


def can_sign(note: Note | None, officials: tuple[str, ...]) -> KeyPair | None:
    """The key among these that cosigned the note."""
    if note is None:
        return None
    for name in officials:
        pair = victim().keys[name]
        if check_cosignatures(note, [cosigner_key(note.signatures[1].name, pair.public)]):
            return pair
    return None


def _unsign(body: Body, *, inks: bool) -> None:
    """No signature at all, or one in ink with a scan that the ledger has already."""
    if body["kind"] == "countersign" and body["data"].get("how") == "key":
        more = {"how": "ink", "scan": sha256(SCAN).hexdigest()}
        body["data"] = body["data"] | more if inks else {}


def _other_salt(body: Body) -> None:
    body["salt"] = body["salt"][::-1]


def _other_reason(body: Body) -> None:
    body["data"]["reason"] = "injured" if body["data"]["reason"] != "injured" else "absent"


def _other_player(body: Body) -> None:
    body["player"] = "a1" if body["player"] != "a1" else "a2"


@cache
def _new_keys() -> dict[str, KeyPair]:
    return {name: make_key() for name in ("office", "tent", *BOTH)}


def _all_new(chain: str, hand: Hand) -> None:
    """Both chains from their first event, every key exchanged for one of the attacker's."""
    keys = _new_keys()
    known = {victim().keys[name].public: keys[name].public for name in BOTH}
    middle = len(hand.rows(chain)) // 2

    def edit(row: RawEvent, body: Body, is_after: bool) -> bool:
        if body["kind"] == "chain_key":
            origin = body["data"]["origin"]
            own = keys[row.chain]
            body["data"]["key"] = format_verifier_key(VerifierKey(origin, own.public))
            hand.run("update key set sealed = ? where name = ?", own.private, origin)
        elif "key" in body["data"]:
            body["data"]["key"] = _exchanged(body["data"]["key"], known)
        if (row.chain, row.seq) == (chain, middle):
            _other_salt(body)
        return True

    hashes, _ = write_anew(hand, edit)
    for one, text in hand.run("select chain, note from checkpoint"):
        note = parse_note(text.encode())
        signer = next(name for name in BOTH if can_sign(note, (name,)))
        sign_again(hand, one, note, hashes[one], keys[one], keys[signer])


def _exchanged(line: str, known: dict[bytes, bytes]) -> str:
    key = parse_verifier_key(line)
    return format_verifier_key(cosigner_key(key.name, known[key.public]))
