"""The proof of what a packet shows, with the personal text that it shows and no other."""

from __future__ import annotations

from ledger.chain.event import Event
from ledger.errors import IntegrityError, StoreError
from ledger.review.packet import Packet
from ledger.store.store import Store
from ledger.witness.check import check_proof
from ledger.witness.checked import CheckedProof
from ledger.witness.disclosing import choose
from ledger.witness.proof import Proof
from ledger.witness.prove import prove_statements

_BRINGS_IN = ("player", "enter_player")


def prove_packet(store: Store, packet: Packet) -> tuple[Proof, CheckedProof] | str:
    """The proof and what checking it says, or in words why there is none in this copy.

    Raises IntegrityError where the ledger does not prove what it holds.
    """
    shown = [stored.event for stored in store.events_by_id(sorted(packet.shown_ids))]
    asked = sorted(packet.asked)
    shown += [one.event for one in store.events(kind=_BRINGS_IN, player=asked)] if asked else []
    choice = choose(store, shown, ("official", "note", "reason"))
    said = {one.told.event for one in packet.timeline if one.said is not None}
    texts = {
        (event_id, field)
        for event_id, field in choice.disclose
        if field == "name" or event_id in said
    }
    names = {(event.id, "name") for event in shown if _names_one_asked(event, packet)}
    try:
        proof = prove_statements(store, choice.ids, texts | names)
    except StoreError as error:
        return error.message
    checked = check_proof(proof)
    if not checked.ok:
        hint = "weighbook audit says where it was changed."
        raise IntegrityError(f"this ledger does not hold: {checked.differences[0]}", hint=hint)
    return proof, checked


def _names_one_asked(event: Event, packet: Packet) -> bool:
    named = "name" in event.data.get("digests", {})
    return named and event.kind in _BRINGS_IN and event.player in packet.asked
