"""The receipt of a countersignature, for each side to take home."""

from __future__ import annotations

from dataclasses import replace

from ledger.chain.event import Event
from ledger.errors import InputError
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead, ReceiptPaper
from ledger.papers.sheets.lists import meaning_of
from ledger.papers.sheets.source import open_source
from ledger.say import signing
from ledger.say.clock import local_time
from ledger.store.store import Store


def receipt_sheet(store: Store, event_id: str, *, heads: Heads | None = None) -> Sheet:
    """The receipt of that countersignature; InputError where the event is none that counts."""
    heads = heads or Heads(store)
    store = heads.store
    event = store.event(event_id)
    if event.kind != "countersign" or event.game is None:
        hint = "weighbook print list GAME TEAM shows a list's signatures with their ids."
        what = f"a statement of the kind {event.kind}"
        raise InputError(f"{event_id} is no signature to a list; it is {what}", hint=hint)
    source = open_source(store, event.game, heads=heads)
    given = source.signatures.of(event.game, str(event.team))
    signed = next((one for one in given if one.event_id == event_id), None)
    if signed is None:
        others = ", ".join(one.event_id for one in given) or "none"
        raise InputError(
            f"{event_id} does not count as a signature of either side",
            hint=f"Signatures to this list that count: {others}.",
        )
    row, note = signed.row, _cosigned(store, event)
    is_forged = row["how"] == "key" and not source.is_key_signature(event_id)
    head = source.head()
    paper = ReceiptPaper(
        head=_signed_head(store, head, event, note) if note else head,
        team=source.team_name(row["team"]),
        side=source.team_name(row["side"]),
        meaning=meaning_of(row["team"], row["side"]),
        name=source.names.of(row["official"]),
        signed_at=local_time(row["signed_at"], source.zone),
        how=row["how"],
        id=event_id,
        digest=event.data.get("list", ""),
        scan=event.data.get("scan", ""),
        is_cosigned=bool(note),
        state=signing.NO_KEY if is_forged else signing.state(signed),
        is_whole=signed.stands and not is_forged,
        key=signing.key_words(store, event_id, source.names.of),
    )
    return source.sheet("receipt", paper, event=event_id)


def _cosigned(store: Store, event: Event) -> str:
    """The checkpoint that was cosigned with this very event, "" where none was."""
    kept = [one for one in store.checkpoints() if (one.chain, one.size) == (event.chain, event.seq)]
    return kept[-1].note if kept else ""


def _signed_head(store: Store, head: PaperHead, event: Event, note: str) -> PaperHead:
    hashed = store.hashes(event.chain)[event.seq - 1]
    return replace(head, head_id=event.id, head_hash=hashed.hex(), checkpoint=note)
