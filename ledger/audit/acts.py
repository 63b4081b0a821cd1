"""Step 4, notes: acts by somebody without the role for it, acts not signed by who has a key, and
keys that were set by others in place of an earlier one. No proof is broken by any of them; people
should look.

Roles are those of officials.csv and of appoints with authority (contract 3), read here a second
time. An event of another chain counts as before: no clock proves that it was not.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from ledger.audit.keys import Keys
from ledger.audit.report import Judged
from ledger.chain.event import Event

ROLES = frozenset({"registrar", "association_president", "division_president"})
ROLE_KINDS = ("official", "appoint", "withdraw")
_AT_THE_TABLE = ("weighmaster", "play_counter")
_APPOINT_THERE = frozenset({"site_official", "board_member"})


def act_notes(
    acts: Sequence[Event], given: Sequence[Event], keys: Keys, judged: Judged
) -> Iterator[str]:
    """What is worth saying of these acts; `given` are the events of ROLE_KINDS, all in ledger
    order."""
    order = {event.id: place for place, event in enumerate(acts)}
    roles = Roles(given)
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


class Roles:
    """Who was given which role, with authority, by which event."""

    def __init__(self, events: Sequence[Event]) -> None:
        targets: defaultdict[str, list[str]] = defaultdict(list)
        for event in events:
            if event.kind == "withdraw":
                targets[str(event.data.get("target"))].append(event.id)
        self._held: defaultdict[str, list[tuple[str, str | None, Event]]] = defaultdict(list)
        self._appoints: list[Event] = []
        for event in events:
            if event.kind == "official":
                role = str(event.data.get("role"))
                self._held[str(event.data.get("official"))].append((role, None, event))
        for event in events:
            if event.kind == "appoint" and not _is_gone(event.id, targets):
                self._appoint(event)

    def may_act(self, act: Event) -> bool:
        """Whether the act's `by` held a role for it; a key for a game: appointed its holder."""
        if any(role in ROLES for role in self._roles(act)):
            return True
        game, official = act.data.get("game"), act.data.get("official")
        return act.kind == "official_key" and any(
            (one.by, one.game, one.data.get("value")) == (act.by, game, official)
            for one in self._appoints
            if game is not None and _is_before(one, act)
        )

    def _appoint(self, event: Event) -> None:
        official, role = str(event.data.get("value")), str(event.data.get("to"))
        own = {name for name, game, _ in self._held[event.by or ""] if game in (None, event.game)}
        may = own & ROLES or (role in _AT_THE_TABLE and own & _APPOINT_THERE)
        if may and event.by != official:
            self._held[official].append((role, event.game, event))
            self._appoints.append(event)

    def _roles(self, act: Event) -> Iterator[str]:
        for role, for_game, source in self._held[act.by or ""]:
            if for_game is None and _is_before(source, act):
                yield role


def _is_before(event: Event, act: Event) -> bool:
    return event.chain != act.chain or event.seq < act.seq


def _is_gone(event_id: str, targets: dict[str, list[str]]) -> bool:
    """Whether a withdrawal counts: one counts unless a withdrawal of it does."""
    gone: dict[str, bool] = {}
    stack = [event_id]
    while stack:
        one = stack[-1]
        by = targets.get(one, [])
        rest = [each for each in by if each not in gone and each not in stack]
        if rest:
            stack += rest
        else:
            gone[one] = any(not gone.get(each, False) for each in by)
            stack.pop()
    return gone[event_id]
