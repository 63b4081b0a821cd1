"""The receipt of a countersignature, for each side to take home."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace

from ledger.chain.event import Event
from ledger.errors import InputError
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.lists import signature_line
from ledger.papers.sheets.source import open_source
from ledger.store.store import Store


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptPaper:
    """`receipt`: one countersignature, twice on a sheet, so that each side takes one home.

    `head.checkpoint` is the note that the signer cosigned, or the ledger's present one where
    `is_cosigned` is false. `digest` is the list's (64 hex digits), "" where the event holds none;
    `scan` that of the signed paper. `meaning` belongs to the side signed for. `state` says in words
    whether the list is still what was signed, and `is_whole` whether it is, late arrivals aside.
    `key` says who set the signer's key, where that is worth saying.
    """

    head: PaperHead
    team: str
    side: str
    meaning: str
    name: str
    signed_at: str
    how: str
    id: str
    digest: str
    scan: str
    is_cosigned: bool
    state: str
    is_whole: bool
    key: str = ""


def receipt_sheet(heads: Heads, event: str) -> Sheet:
    """The receipt of that countersignature; InputError where the event is none that counts."""
    store = heads.store
    found = store.event(event)
    if found.kind != "countersign" or found.game is None:
        hint = "weighbook print list GAME TEAM shows a list's signatures with their ids."
        what = f"a statement of the kind {found.kind}"
        raise InputError(f"{event} is no signature to a list; it is {what}", hint=hint)
    source = open_source(heads, found.game)
    given = source.signatures.of(found.game, str(found.team))
    signed = next((one for one in given if one.event_id == event), None)
    if signed is None:
        others = ", ".join(one.event_id for one in given) or "none"
        raise InputError(
            f"{event} does not count as a signature of either side",
            hint=f"Signatures to this list that count: {others}.",
        )
    note, head = _cosigned(store, found), source.head()
    line = asdict(signature_line(source, signed, ""))
    del line["number"]
    paper = ReceiptPaper(
        head=_signed_head(store, head, found, note) if note else head,
        team=source.team_name(signed.row["team"]),
        digest=found.data.get("list", ""),
        scan=found.data.get("scan", ""),
        is_cosigned=bool(note),
        **line,
    )
    return source.sheet("receipt", paper, event=event)


def _cosigned(store: Store, event: Event) -> str:
    """The checkpoint that was cosigned with this very event, "" where none was."""
    kept = [one for one in store.checkpoints() if (one.chain, one.size) == (event.chain, event.seq)]
    return kept[-1].note if kept else ""


def _signed_head(store: Store, head: PaperHead, event: Event, note: str) -> PaperHead:
    hashed = store.hashes(event.chain)[event.seq - 1]
    return replace(head, head_id=event.id, head_hash=hashed.hex(), checkpoint=note)
