"""Names for papers: as disclosed, or "erased"; a child without a name has a number."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.record.corrections import rows_that_count
from ledger.record.kinds import BRINGS_IN
from ledger.store.store import Store

ERASED = "erased"
ON_SCREEN = "(name on the screen only)"
ASK = "(ask; write the name)"


class Names:
    """The names of players and officials that these events, in ledger order, disclose.

    `shown` is a name as a reader's page can show it, "" if it cannot; then words stand for it.
    """

    def __init__(
        self,
        store: Store,
        events: Sequence[Event],
        shown: Callable[[str], str] = str,
        *,
        as_of: str | None = None,
        known_at: str | None = None,
    ) -> None:
        counting = rows_that_count(events, as_of=as_of, known_at=known_at)
        holders = [event for event in counting if _has_name(event)]
        known = {event.player for event in holders}
        # A player who joined a roster later has the name in an event outside it.
        joined = sorted({event.player for event in events if event.player} - known)
        read = (s.event for s in store.events(kind=BRINGS_IN["player"], player=joined))
        elsewhere = rows_that_count(read, as_of=as_of, known_at=known_at)
        holders += [event for event in elsewhere if _has_name(event)]
        texts = {
            row.event_id: open_disclosure(row.text).value
            for row in store.disclosures([event.id for event in holders])
            if row.field == "name"
        }
        self._names: dict[str, str] = {}
        for event in holders:
            data = event.data
            whose = event.player or (data["value"] if event.kind == "appoint" else data["official"])
            self._names.setdefault(whose, shown(texts.get(event.id, ERASED)))

    def of(self, whose: str) -> str:
        """The name of a player or an official by id; the id itself without a name."""
        return self._names.get(whose, whose) or f"{whose} {ON_SCREEN}"

    def child(self, player: str, number: int | None) -> str:
        """The name of a player; without a name "No. 12"; without either the id."""
        if number is None:
            return self.of(player)
        return self._names.get(player, f"No. {number}") or ON_SCREEN

    def beside(self, player: str, number: int | None, *, is_form: bool = False) -> str:
        """The same for a column beside the numbers; `is_form` for a morning without a device."""
        if number is None:
            return self.of(player)
        hidden = f"(name not shown: use\N{NO-BREAK SPACE}{number})"
        return self._names.get(player, hidden) or (ASK if is_form else hidden)


def initials_of(name: str) -> str:
    """The initials of a name, at most 6: "Ana Thistle-Wood" → "ATW"."""
    words = name.replace("-", " ").split()
    return "".join(word[0] for word in words if word[0].isalpha()).upper()[:6]


def _has_name(event: Event) -> bool:
    return "name" in event.data.get("digests", {})
