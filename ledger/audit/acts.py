"""Step 4, notes: acts by somebody without the role for it, acts not signed by who has a key, and
keys that were set by others in place of an earlier one. No proof is broken by any of them; people
should look.

Roles are those of officials.csv and of appoints with authority (sql/README.md, section 3). An event
of another chain counts as before: no clock proves that it was not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ledger.audit.authority import Offices
from ledger.audit.eligibility import withdrawn
from ledger.audit.keys import Keys
from ledger.audit.report import Judged
from ledger.chain.event import Event

ROLES = frozenset({"registrar", "association_president", "division_president"})
ROLE_KINDS = ("official", "appoint", "withdraw")
_SAYS = {"official": {"official", "role"}, "appoint": {"value", "to"}, "withdraw": {"target"}}


def act_notes(
    acts: Sequence[Event], given: Sequence[Event], keys: Keys, judged: Judged
) -> Iterator[str]:
    """What is worth saying of these acts; `given` are the events of ROLE_KINDS, all in ledger
    order."""
    order = {event.id: place for place, event in enumerate(acts)}
    roles = _Roles([one for one in given if (one.chain, one.seq) not in judged and _is_whole(one)])
    for event in acts:
        # A line of a day file states that the season was closed; nobody acted here.
        if (event.chain, event.seq) in judged or "source" in event.data:
            continue
        what, by, data = f"{event.kind} {event.id}", event.by, event.data
        if "how" not in data and keys.in_force_before(event, order):
            yield f"{what} by {by} is not signed, though {by} has a key"
        official, is_signed = data.get("official"), data.get("how") == "key"
        is_by_holder = by == official and is_signed
        if event.kind == "official_key" and keys.earlier_than(event) and not is_by_holder:
            yield f"the key of {official} was replaced by {by}, not with the old key ({event.id})"
        if not is_by_holder and not roles.may_act(event):
            yield f"{what} by {by}, who held no role for it"


class _Roles:
    """Who could act: by a role for it, or, for a key for one game, by having appointed its holder.

    `events` are those of ROLE_KINDS, in ledger order.
    """

    def __init__(self, events: Sequence[Event]) -> None:
        gone = withdrawn(events)
        self._lines = [event for event in events if event.kind == "official"]
        self._appoints = [e for e in events if e.kind == "appoint" and e.id not in gone]

    def may_act(self, act: Event) -> bool:
        lines = [event for event in self._lines if _is_before(event, act)]
        appoints = [event for event in self._appoints if _is_before(event, act)]
        offices = Offices(lines, appoints, {})
        if offices.holds(act.by, ROLES, None):
            return True
        game, official = act.data.get("game"), act.data.get("official")
        return (act.kind, game is None) == ("official_key", False) and any(
            (one.by, one.game, one.data["value"]) == (act.by, game, official)
            and offices.may_appoint(one)
            for one in appoints
        )


def _is_whole(event: Event) -> bool:
    """Whether it has what such an event says; somebody may have written another one."""
    return _SAYS[event.kind] <= event.data.keys()


def _is_before(event: Event, act: Event) -> bool:
    return event.chain != act.chain or event.seq < act.seq
