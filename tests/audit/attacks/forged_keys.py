"""Officials' keys, forged in place of theirs or beside them by someone with only the chains' keys.

Enrolling needs only the device, so the attacker can make up a key event. A receipt at home is still
signed with the earlier key. The forger signs again, with the new key, all that the true one signed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache, partial
from typing import Any

import orjson

from ledger.audit.rows import RawEvent
from ledger.chain.canonical import canonical
from ledger.chain.cosignature import cosign_note, cosigner_key
from ledger.chain.hashing import leaf_hash
from ledger.chain.keys import KeyPair, make_key
from ledger.chain.note import format_note, format_verifier_key, parse_note
from tests.audit.attacks.anew import Body, write_anew
from tests.audit.attacks.attack import AUDIT, COPY, NOBODY, Attack, Hand
from tests.audit.attacks.rebuilds import BOTH, NOW, can_sign, sign_again
from tests.audit.attacks.rows import all_rows
from tests.audit.attacks.victim import victim


def attacks() -> Iterator[Attack]:
    for names in (("we/1",), ("wa/1", "wa/2"), BOTH):
        whose = "both teams" if names == BOTH else "one team"
        for signs, how in ((False, "not signed again"), (True, "signed again with them")):
            yield Attack(
                f"the keys of {whose} exchanged in their events, the chain rebuilt, {how}",
                f"keys {', '.join(names)} exchanged, {how}",
                COPY if signs and names == BOTH else AUDIT,
                partial(exchange_keys, names, signs=signs),
            )
    for signs in (False, True):
        how = "signed again" if signs else "left as it was"
        line = f"an official's key forged in the tent's chain, the office's signature {how}"
        yield Attack(line, f"key of wa in the tent, {how}", AUDIT,
                     partial(slip_in, signs=signs))  # fmt: skip
    for official in ("wa", "we"):
        for chain in ("office", "tent"):
            line = "an official's key forged at the end of a chain"
            yield Attack(line, f"a key of {official} at the end of {chain}", NOBODY,
                         partial(append_key, chain, official))  # fmt: skip
            line = "an official's key forged in a chain, in the order before what it should sign"
            yield Attack(line, f"a key of {official} early in {chain}", AUDIT,
                         partial(append_early, chain, official))  # fmt: skip


@cache
def _forged() -> dict[str, KeyPair]:
    return {name: make_key() for name in BOTH}


def exchange_keys(names: tuple[str, ...], hand: Hand, *, signs: bool) -> None:
    """Other keys in the key events of these; every later link right; signed again or not."""
    lines = {_line(name, victim().keys[name]): _line(name, _forged()[name]) for name in names}

    def edit(row: RawEvent, body: Body, is_after: bool) -> bool:
        is_key = body["data"].get("key") in lines
        if is_key:
            body["data"]["key"] = lines[body["data"]["key"]]
        return is_key

    hashes, begun = write_anew(hand, edit)
    for chain, size, text in hand.run("select chain, size, note from checkpoint"):
        note = parse_note(text.encode())
        able = [name for name in names if signs and can_sign(note, (name,))]
        if able or size >= begun[chain]:
            signer = _forged()[able[0]] if able else None
            sign_again(hand, chain, note, hashes[chain], victim().keys[chain], signer)


def append_key(chain: str, official: str, hand: Hand) -> None:
    ((place,),) = hand.run("select max(position) + 1 from event")
    hand.add(_key_event(hand, chain, official, place, make_key()))


def append_early(chain: str, official: str, hand: Hand) -> None:
    """The event is the chain's last, but comes before a countersignature in ledger order."""
    last = _last_signed(official)
    event = _key_event(hand, chain, official, last, make_key())
    hand.run("update event set position = -position - 1 where position >= ?", last)
    hand.run("update event set position = -position where position < 0")
    hand.add(event)


def slip_in(hand: Hand, *, signs: bool) -> None:
    """After what is signed in the tent's chain, but before the office's last signature.

    It touches no event that a kept copy covers; that signature now claims another key.
    """
    (last,) = [row for row in hand.rows("office") if row.position == _last_signed("wa")]
    rows = hand.rows("tent")
    place = next(row for row in reversed(rows) if row.position < last.position)
    after = rows[place.seq :]
    hand.run("delete from event where chain = 'tent' and seq > ?", place.seq)
    hand.run("update event set position = -position - 1 where position >= ?", last.position)
    hand.run("update event set position = -position where position < 0")
    forged = _forged()["wa/2"]
    event = _key_event(hand, "tent", "wa", last.position, forged)
    hand.add(event)
    before = event.hash
    for row in after:
        body: Body = orjson.loads(row.body) | {"prev": before.hex(), "seq": row.seq + 1}
        data = canonical(body)
        hand.add(row._replace(position=row.position + 1, seq=row.seq + 1, prev=before,
                              hash=leaf_hash(data), body=data.decode()))  # fmt: skip
        before = leaf_hash(data)
        hand.run("update disclosure set seq = ? where chain = 'tent' and seq = ?", row.seq + 1000,
                 row.seq)  # fmt: skip
    hand.run("update disclosure set seq = seq - 999 where chain = 'tent' and seq > 1000")
    if signs:
        query = "select note from checkpoint where chain = 'office' and size = ?"
        note = parse_note(hand.run(query, last.seq)[0][0].encode())
        bears = _bears("wa", "tent")
        line = cosign_note(note, bears, forged.private, time=NOW)
        again = replace(note, signatures=(note.signatures[0], line))
        hand.run("update checkpoint set note = ? where chain = 'office' and size = ?",
                 format_note(again).decode(), last.seq)  # fmt: skip


def _last_signed(official: str) -> int:
    return max(row.position for row in all_rows()
               if '"how":"key"' in row.body and f'"by":"{official}"' in row.body)  # fmt: skip


def _key_event(hand: Hand, chain: str, official: str, position: int, pair: KeyPair) -> RawEvent:
    end = hand.rows(chain)[-1]
    data: dict[str, Any] = {"official": official, "key": _line(official, pair, chain)}
    said = {"by": "rg", "chain": chain, "data": data, "kind": "official_key",
            "prev": end.hash.hex(), "recorded": end.recorded, "salt": "A" * 22,
            "seq": end.seq + 1, "v": 1}  # fmt: skip
    body = canonical(said)
    return RawEvent(position, chain, end.seq + 1, end.hash, leaf_hash(body), body.decode(),
                    "official_key", end.recorded, end.clock, None, None, None, None, official,
                    None)  # fmt: skip


def _line(name: str, pair: KeyPair, chain: str = "office") -> str:
    return format_verifier_key(cosigner_key(_bears(name.partition("/")[0], chain), pair.public))


def _bears(official: str, chain: str) -> str:
    """The name that the official's cosignatures bear by a key of that chain."""
    rows = (row for row in all_rows() if row.chain == chain and row.seq == 1)
    return f"{official}@{orjson.loads(next(rows).body)['data']['origin']}"
