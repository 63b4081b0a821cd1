"""Pack a case's evidence for an opponent who trusts nobody."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from ledger.chain.note import Note
from ledger.errors import InputError
from ledger.papers.press.heads import Heads
from ledger.papers.press.render import typeset_sheet
from ledger.papers.sheets.packets import packet_sheet
from ledger.review.evidence.pack import Packed, pack_case
from ledger.review.evidence.packet_file import read_packet
from ledger.say.bundles import bundle_texts
from ledger.store.store import Store


def check_packet(content: bytes, name: str, case: str) -> None:
    """Raise InputError with the file's name unless this is a packet of that case."""
    try:
        read_packet(content, case)
    except InputError as error:
        raise InputError(f"{name}: {error.message}", hint=error.hint) from error


def pack_evidence(
    store: Store,
    case: str,
    *,
    words: Collection[str] = (),
    packet: bytes | None = None,
    with_packet: bool = True,
    receipts: Sequence[Note] = (),
) -> Packed:
    """Make the bundle of a case, with this packet, a new one, or none.

    Raises what `ledger.review.evidence.pack.pack_case` does.
    """
    if packet is None and with_packet:
        # Not the clock, so the same ledger gives the same bundle.
        heads = Heads(store, printed_at=store.last().recorded)
        packet = typeset_sheet(packet_sheet(heads, case))
    return pack_case(store, case, bundle_texts, words=words, packet=packet, receipts=receipts)
