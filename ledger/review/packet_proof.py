"""A packet's files: its statements to read, and their proof.

Both contain only the personal text that the packet shows.
"""

from __future__ import annotations

import json
from collections import defaultdict
from typing import Any

from ledger.chain.disclosure import open_disclosure
from ledger.chain.hashing import leaf_hash
from ledger.errors import IntegrityError, StoreError
from ledger.record.kinds import BRINGS_IN
from ledger.review.packet import Packet
from ledger.store.store import Store
from ledger.witness.check import check_proof
from ledger.witness.checked import CheckedProof
from ledger.witness.disclosing import Choice, choose
from ledger.witness.proof import Proof
from ledger.witness.prove import prove_statements


def choose_shown(store: Store, packet: Packet) -> Choice:
    """Choose the events that the packet shows or rests on, and their personal text."""
    shown = [stored.event for stored in store.events_by_id(sorted(packet.shown_ids))]
    if named := sorted(packet.named):
        shown += [one.event for one in store.events(kind=BRINGS_IN["player"], player=named)]
    choice = choose(store, shown, ("official", "note", "reason"))
    open_to_us = {one.statement.event for one in packet.timeline if one.said or one.is_erased}
    texts = {
        (event_id, field)
        for event_id, field in choice.disclose
        if field == "name" or event_id in open_to_us
    }
    names = {
        (event.id, "name")
        for event in shown
        if event.kind in BRINGS_IN["player"] and event.player in packet.named
        if "name" in event.data.get("digests", {})
    }
    return Choice(ids=choice.ids, disclose=frozenset(texts | names))


def prove_packet(store: Store, choice: Choice) -> tuple[Proof, CheckedProof] | str:
    """Return the proof and its check, or a sentence on why this copy cannot make one.

    Raises IntegrityError if the ledger does not prove what it contains.
    """
    try:
        # A packet is made again to check it, perhaps after a phone has witnessed its signature.
        proof = prove_statements(store, choice.ids, choice.disclose, with_late=False)
    except StoreError as error:
        return error.message
    checked = check_proof(proof)
    if not checked.ok:
        hint = "weighbook audit says where it was changed."
        raise IntegrityError(f"this ledger does not hold: {checked.differences[0]}", hint=hint)
    return proof, checked


def list_statements(store: Store, choice: Choice) -> list[dict[str, Any]]:
    """List the events in ledger order, for any program: id, hash (hex), event, shown texts.

    The hash is SHA-256 over a zero byte and the event as RFC 8785 writes it. An erased text is
    null.
    """
    texts: dict[str, dict[str, str | None]] = defaultdict(dict)
    for event_id, field in sorted(choice.disclose):
        texts[event_id][field] = None
    for row in store.disclosures(sorted(texts)):
        if row.field in texts[row.event_id]:
            texts[row.event_id][row.field] = open_disclosure(row.text).value
    found = []
    for stored in sorted(store.events_by_id(sorted(choice.ids))):
        event_id, body = stored.event.id, stored.body
        one = {"id": event_id, "hash": leaf_hash(body.encode()).hex(), "event": json.loads(body)}
        found.append(one | ({"texts": texts[event_id]} if event_id in texts else {}))
    return found
