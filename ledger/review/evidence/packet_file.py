"""The packet in a bundle: a paper that weighbook made of this case, with its statements attached.

What is attached must be what the bundle proves, letter for letter: statements.json, and
statements.proof where the packet was made beside the keys. The bundle may prove a later state and
other statements as well. The pages themselves are not compared here.
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
_HINT = "Name the packet as weighbook print made it. A scan is for weighbook case exhibit."


@dataclass(frozen=True)
class PacketFile:
    """What is attached to a packet; `proof` is None where it was made without one."""

    statements: Mapping[str, Any]
    proof: bytes | None


def read_packet(content: bytes, case: str) -> PacketFile:
    """The packet of this case; InputError for any other file."""
    title, files = _read_pdf(content)
    if not title.endswith(f" packet, case {case}"):
        hint = "Without --packet, the packet of the case is made anew."
        raise InputError(f"no packet of the case {case}, but: {title}", hint=hint)
    try:
        statements = json.loads(files[STATEMENTS])
    except (KeyError, ValueError) as error:
        raise InputError("a packet without its statements attached", hint=_HINT) from error
    return PacketFile(statements, files.get(PROOF))


def check_packet(content: bytes, case: str, checked: CheckedProof, found: Differences) -> None:
    """Hold the packet against what the bundle proves; what differs is added to `found`."""
    with found.noting("data/packet.pdf"):
        packet = read_packet(content, case)
        proved = {event.id: event for event in checked.events}
        texts = {(told.event.id, told.field): told.value for told in checked.texts}
        if packet.proof is not None:
            attached = check_proof(unpack_proof(packet.proof))
            for difference in attached.differences:
                raise IntegrityError(f"its proof does not hold: {difference}")
            _check_same(attached, checked)
            proved = {event.id: event for event in attached.events} | proved
            texts |= {(text.event.id, text.field): text.value for text in attached.texts}
        for event, said in _statements(packet.statements, case):
            if proved.get(event.id) != event:
                raise IntegrityError(f"its statement {event.id} is not what is proved")
            for field, text in said.items():
                if text is not None and texts.get((event.id, field), text) != text:
                    raise IntegrityError(f"its {field} of {event.id} is not the one recorded")


def _read_pdf(content: bytes) -> tuple[str, dict[str, bytes]]:
    """The title and the attached files of a paper that weighbook made."""
    import pikepdf

    if not content.startswith(b"%PDF-"):
        raise InputError("not a PDF", hint=_HINT)
    try:
        with pikepdf.open(io.BytesIO(content)) as pdf:
            about = {key: str(pdf.docinfo.get(key, "")) for key in ("/Creator", "/Title")}
            files = {name: spec.get_file().read_bytes() for name, spec in pdf.attachments.items()}
    except (pikepdf.PdfError, pikepdf.DependencyError, ValueError, KeyError, TypeError) as error:
        raise InputError("not a PDF that can be read", hint=_HINT) from error
    if about["/Creator"] != _CREATOR:
        raise InputError("no paper that weighbook made", hint=_HINT)
    return about["/Title"], files


def _check_same(attached: CheckedProof, checked: CheckedProof) -> None:
    """The packet's proof is of the ledger that the bundle is of."""
    ours = {event.id: event for event in checked.events}
    for event in attached.events:
        if ours.get(event.id, event) != event:
            raise IntegrityError(f"its proof has another {event.id} than events.json")
    roots = {
        (chain.chain, state.checkpoint.size): state.checkpoint.root
        for chain in checked.chains
        for state in (*chain.earlier, *([chain.state] if chain.state else ()))
    }
    for chain in attached.chains:
        for state in (*chain.earlier, *([chain.state] if chain.state else ())):
            tree = state.checkpoint
            if roots.get((chain.chain, tree.size), tree.root) != tree.root:
                raise IntegrityError(f"its proof has another {chain.chain} at {tree.size} entries")


def _statements(
    whole: Mapping[str, Any], case: str
) -> Iterator[tuple[Event, Mapping[str, str | None]]]:
    try:
        if whole["case"] != case:
            raise InputError("its statements are of another case")
        for one in whole["statements"]:
            body = canonical(one["event"])
            event = parse_event(body)
            if (one["id"], one["hash"]) != (event.id, leaf_hash(body).hex()):
                raise IntegrityError(f"its statement {event.id} has another id or hash")
            yield event, dict(one.get("texts", {}))
    except (KeyError, TypeError, ValueError) as error:
        raise InputError("its statements cannot be read") from error
