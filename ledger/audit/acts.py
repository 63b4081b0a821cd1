"""Step 4, notes: acts without the role for them, acts left unsigned by someone with a key, keys
that someone else replaced, and odd corrections. They break no proof, but people should look at
them.

Roles come from officials.csv and from appoints with authority (sql/README.md, section 3). An event
of another chain counts as earlier, because no clock proves that it was not.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ledger.audit.authority import (
    CORRECTORS,
    ROLES,
    Offices,
    is_correction,
    rows_that_count,
)
from ledger.audit.eligibility import withdrawn
from ledger.audit.keys import Keys
from ledger.audit.report import Judged
from ledger.chain.event import HELD, Event

ROLE_KINDS = ("official", "appoint", "withdraw")
_SAYS = {"official": {"official", "role"}, "appoint": {"value", "to"}, "withdraw": {"target"}}


def act_notes(
    acts: Sequence[Event], given: Sequence[Event], keys: Keys, judged: Judged
) -> Iterator[str]:
    """Yield the notes on these acts. `given` are the events of ROLE_KINDS; both in ledger order."""
    order = {event.id: place for place, event in enumerate(acts)}
    roles = _Roles([one for one in given if (one.chain, one.seq) not in judged and _is_whole(one)])
    for event in acts:
        # A line of a day file only reports that the season was closed; nobody acted here.
        if (event.chain, event.seq) in judged or "source" in event.data:
            continue
        what, by, data = f"{event.kind} {event.id}", event.by, event.data
        what = f"correction of {what}" if is_correction(event) else what
        if "how" not in data and keys.in_force_before(event, order):
            yield f"{what} by {by} is not signed, though {by} has a key"
        official, is_signed = data.get("official"), data.get("how") == "key"
        is_by_holder = by == official and is_signed
        if event.kind == "official_key" and keys.earlier_than(event) and not is_by_holder:
            is_phone = data.get("held") == HELD
            replaced = f"replaced the key of {official} without the old key"
            confirmed = f"confirmed a phone for {official}; the old key ended"
            yield f"{by} {confirmed if is_phone else replaced} ({event.id})"
        if not is_by_holder and not roles.may_act(event):
            yield f"{what} by {by}, who had no role for it"


def correction_notes(set_up: Iterable[Event], judged: Judged) -> Iterator[str]:
    """Yield the notes on corrections that the program would not have written."""
    set_up = list(set_up)
    rows = {event.id: event.kind for event in set_up if not is_correction(event)}
    for event in set_up:
        if not is_correction(event) or (event.chain, event.seq) in judged:
            continue
        row = str(event.data["corrects"])
        if rows.get(row) != event.kind:
            yield f"{event.id} corrects {row}, which is no {event.kind} of the tables"
        if event.entered != event.recorded:
            yield f"{event.id} says that it was entered at another time than it was recorded"


class _Roles:
    """Who could act: by a role or, for a key for one game, by having appointed its holder.

    `events` are those of ROLE_KINDS, in ledger order.
    """

    def __init__(self, events: Sequence[Event]) -> None:
        gone = withdrawn(events)
        self._lines = [event for event in events if event.kind == "official"]
        self._appoints = [e for e in events if e.kind == "appoint" and e.id not in gone]

    def may_act(self, act: Event) -> bool:
        lines = rows_that_count(event for event in self._lines if _is_before(event, act))
        appoints = [event for event in self._appoints if _is_before(event, act)]
        offices = Offices(lines, appoints, {})
        if offices.holds(act.by, CORRECTORS if is_correction(act) else ROLES, None):
            return True
        game, official = act.data.get("game"), act.data.get("official")
        return (act.kind, game is None) == ("official_key", False) and any(
            (one.by, one.game, one.data["value"]) == (act.by, game, official)
            and offices.may_appoint(one)
            for one in appoints
        )


def _is_whole(event: Event) -> bool:
    """Whether it has the keys that its kind needs; a forged event may lack them."""
    return _SAYS[event.kind] <= event.data.keys()


def _is_before(event: Event, act: Event) -> bool:
    return event.chain != act.chain or event.seq < act.seq
