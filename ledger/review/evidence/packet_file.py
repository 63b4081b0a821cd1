"""Check the packet in a bundle: weighbook printed it for this case and attached its statements.

The attached files must match what the bundle proves, letter for letter: statements.json, and
statements.proof if the packet was made where the keys are. The bundle may prove a later state and
more statements. Nothing here compares the pages.
"""

from __future__ import annotations

import io
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from ledger.chain.canonical import canonical
from ledger.chain.event import Event, parse_event
from ledger.chain.hashing import leaf_hash
from ledger.errors import InputError, IntegrityError
from ledger.witness.check import check_proof
from ledger.witness.checked import CheckedProof, Differences
from ledger.witness.proof import unpack_proof

PROOF, STATEMENTS = "statements.proof", "statements.json"
_CREATOR = "weighbook"
_HINT = "Give the PDF that weighbook print made. For a scan, use weighbook case exhibit."


@dataclass(frozen=True)
class PacketFile:
    """The files attached to a packet; `proof` is None if it was made without one."""

    statements: Mapping[str, Any]
    proof: bytes | None


def read_packet(content: bytes, case: str) -> PacketFile:
    """Read the packet of this case. Raises InputError for any other file."""
    title, files = _read_pdf(content)
    if not title.endswith(f" packet, case {case}"):
        hint = "Leave out --packet to have the packet made now."
        raise InputError(f"not the packet of case {case}, but: {title}", hint=hint)
    try:
        statements = json.loads(files[STATEMENTS])
    except (KeyError, ValueError) as error:
        raise InputError("this packet has no statements attached", hint=_HINT) from error
    return PacketFile(statements, files.get(PROOF))


def check_packet(content: bytes, case: str, checked: CheckedProof, found: Differences) -> None:
    """Compare the packet with what the bundle proves; add differences to `found`."""
    with found.noting("data/packet.pdf"):
        packet = read_packet(content, case)
        proved = {event.id: event for event in checked.events}
        texts = {(text.event.id, text.field): text.value for text in checked.texts}
        if packet.proof is not None:
            attached = check_proof(unpack_proof(packet.proof))
            for difference in attached.differences:
                raise IntegrityError(f"its proof does not hold: {difference}")
            _check_same(attached, checked)
            proved = {event.id: event for event in attached.events} | proved
            texts |= {(text.event.id, text.field): text.value for text in attached.texts}
        for event, said in _statements(packet.statements, case):
            if proved.get(event.id) != event:
                raise IntegrityError(f"its statement {event.id} differs from the proved one")
            for field, text in said.items():
                if text is not None and texts.get((event.id, field), text) != text:
                    raise IntegrityError(f"its {field} of {event.id} differs from the recorded one")


def _read_pdf(content: bytes) -> tuple[str, dict[str, bytes]]:
    """Return title and attached files of a paper that weighbook made. Raises InputError."""
    import pikepdf

    if not content.startswith(b"%PDF-"):
        raise InputError("not a PDF", hint=_HINT)
    try:
        with pikepdf.open(io.BytesIO(content)) as pdf:
            about = {key: str(pdf.docinfo.get(key, "")) for key in ("/Creator", "/Title")}
            files = {name: spec.get_file().read_bytes() for name, spec in pdf.attachments.items()}
    except (pikepdf.PdfError, pikepdf.DependencyError, ValueError, KeyError, TypeError) as error:
        raise InputError("this PDF cannot be read", hint=_HINT) from error
    if about["/Creator"] != _CREATOR:
        raise InputError("weighbook did not make this paper", hint=_HINT)
    return about["/Title"], files


def _check_same(attached: CheckedProof, checked: CheckedProof) -> None:
    """Refuse a packet's proof of another ledger than the bundle's. Raises IntegrityError."""
    ours = {event.id: event for event in checked.events}
    for event in attached.events:
        if ours.get(event.id, event) != event:
            raise IntegrityError(f"its proof has another {event.id} than events.json")
    roots = _roots(checked)
    for (chain, size), root in _roots(attached).items():
        if roots.get((chain, size), root) != root:
            raise IntegrityError(f"its proof has another {chain} at {size} entries")


def _roots(checked: CheckedProof) -> dict[tuple[str, int], bytes]:
    """The signed roots, by chain and size."""
    return {
        (chain.chain, state.checkpoint.size): state.checkpoint.root
        for chain in checked.chains
        for state in (*chain.earlier, chain.state)
        if state
    }


def _statements(
    whole: Mapping[str, Any], case: str
) -> Iterator[tuple[Event, Mapping[str, str | None]]]:
    try:
        if whole["case"] != case:
            raise InputError("its statements are from another case")
        for one in whole["statements"]:
            body = canonical(one["event"])
            event = parse_event(body)
            if (one["id"], one["hash"]) != (event.id, leaf_hash(body).hex()):
                raise IntegrityError(f"its statement {event.id} has another id or hash")
            yield event, dict(one.get("texts", {}))
    except (KeyError, TypeError, ValueError) as error:
        raise InputError("its statements cannot be read") from error
