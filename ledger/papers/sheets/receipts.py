"""The receipt of a countersignature, for each side to take home."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace

from ledger.chain.event import HELD, Event
from ledger.derive.signed_list import list_content, list_number
from ledger.errors import InputError
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.list_signatures import signature_line
from ledger.papers.sheets.source import GameSource
from ledger.say import signing
from ledger.store.store import Store

MOST_NAMED = 4
"""The players that a receipt names of each kind of change: both halves must fit on one sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptPaper:
    """`receipt`: one countersignature, twice on a sheet, one for each side to take home.

    `head.checkpoint` is the note that the signer cosigned; without `is_cosigned` it is the ledger's
    present one. `digest` is that of the list that was signed (64 hex digits), or "" for a signature
    on the sheet; `digest_now` is that of the list as the ledger has it now. `scan` is that of the
    signed paper. The fields from `side` to `id`, `state`, `is_whole` and `key` are those of
    SignatureLine; no line breaks within a "No. 5" of `state`. `recorded` says when the ledger got
    a signature that it recorded late, `other_side` that the other side's is missing.
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
    digest_now: str
    scan: str
    is_cosigned: bool
    state: str
    is_whole: bool
    key: str = ""
    recorded: str = ""
    other_side: str = ""


def receipt_sheet(heads: Heads, event: str) -> Sheet:
    """The receipt of a countersignature; InputError if the event is not one that counts."""
    store = heads.store
    found = store.event(event)
    if found.kind != "countersign" or found.game is None:
        hint = "weighbook print list GAME TEAM shows a list's signatures with their ids."
        what = f"{event} is not a signature to a list, but a statement of the kind {found.kind}"
        raise InputError(what, hint=hint)
    source = GameSource(heads, found.game)
    content = list_content(source.engine, found.game, str(found.team))
    given = source.signatures.of(found.game, str(found.team), content)
    signed = next((one for one in given if one.event_id == event), None)
    if signed is None:
        others = ", ".join(one.event_id for one in given) or "none"
        raise InputError(
            f"{event} does not count as a signature of either side",
            hint=f"These signatures to the list count: {others}.",
        )
    note, head = cosigned_note(store, found), source.head()
    if found.data.get("how") == HELD and not note:
        # Printed now, it would differ from the paper made again once the phone has witnessed it.
        raise InputError(
            f"the phone of {found.by} has not witnessed {event} yet",
            hint="It does that when the page is open on the phone again. Then print the receipt.",
        )
    if note:
        signed_hash = store.hashes(found.chain)[found.seq - 1].hex()
        head = replace(head, head_id=event, head_hash=signed_hash, checkpoint=note)
    line = asdict(signature_line(source, signed, "", most=MOST_NAMED))
    del line["number"]
    line["state"] = line["state"].replace("No. ", "No.\N{NO-BREAK SPACE}")
    if line["meaning"] == signing.PRESENTS:
        line["meaning"] = signing.HANDED_OVER.format(team=line["side"])
    is_alone = all(one.row["side"] == signed.row["side"] for one in given)
    paper = ReceiptPaper(
        head=head,
        team=source.team_name(signed.row["team"]),
        digest=found.data.get("list", ""),
        digest_now=list_number(content),
        scan=found.data.get("scan", ""),
        is_cosigned=bool(note),
        recorded=signing.recorded_later(source.signatures.statement(event), source.zone),
        other_side=signing.NOT_THE_OTHER if is_alone else "",
        **line,
    )
    return source.sheet("receipt", paper, event=event)


def cosigned_note(store: Store, event: Event) -> str:
    """The checkpoint that was cosigned with this signature: its receipt; "" for none."""
    kept = [one for one in store.checkpoints() if (one.chain, one.size) == (event.chain, event.seq)]
    return kept[-1].note if kept else ""
