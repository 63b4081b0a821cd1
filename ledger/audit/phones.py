"""Step 4: lists that a phone's key signed, from the statement that the phone signed.

The signature names the list's number and every chain as the phone saw it before. Those heads must
be true ones, from before the event. The checkpoint that the phone cosigns comes later; until then
the list is signed and not yet witnessed, which is a note. One signature makes one event: who has
the file could else put it in again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from ledger.audit.checkpoints import Chain, StoredNote
from ledger.audit.keys import Keys
from ledger.audit.report import Judged, Problem
from ledger.chain.checkpoint import Checkpoint
from ledger.chain.event import HELD, Event
from ledger.chain.others import covered_by, parse_seen
from ledger.chain.phone import check_list_signature
from ledger.errors import InputError, IntegrityError


def check_phone(
    event: Event, keys: Keys, chains: Mapping[str, Chain], before: dict[str, str]
) -> Iterator[Problem]:
    """Check what the phone signed, and what it saw.

    `before` has the signatures met so far with their events, and takes this one.
    """
    known, own = keys.in_force_for(event), chains[event.chain].key
    if known is None or own is None:
        return  # a problem already
    try:
        check_list_signature(event, own.name, known.key)
        seen, covered = parse_seen(event.data), covered_by(event)
    except (InputError, IntegrityError) as error:
        what = f"the phone of {event.by} did not sign this: {error.message}"
        yield Problem.of_event(event, "bad signature", what)
        return
    first = before.setdefault(str(event.data["signature"]), event.id)
    if first != event.id:
        what = f"the phone signed once, and {first} has the same signature"
        yield Problem.of_event(event, "bad signature", what)
    for name, state in seen.items():
        if name not in chains:
            what = f"the phone saw {state.size:,} events of it; there is no such chain"
            yield Problem(name, None, "cut tail", what)
            continue
        signed = Checkpoint(name, state.size, state.root)
        yield from chains[name].check_checkpoint(signed, f"what the phone saw for {event.id}")
        if not covered.covers(name, state.size):
            what = f"the phone saw {name}:{state.size}, which it does not cover"
            yield Problem.of_event(event, "reordered", what)


def not_witnessed(
    signed: Iterable[Event], notes: Sequence[StoredNote], judged: Judged
) -> Iterator[str]:
    """Yield a note for each list that a phone signed without a stored checkpoint."""
    there = {(note.chain, note.size) for note in notes}
    for event in signed:
        place = (event.chain, event.seq)
        if event.data.get("how") == HELD and place not in there | judged:
            yield (
                f"{event.id}: signed, not yet witnessed; the phone of {event.by} does that when "
                "the page is open on it again"
            )
