"""Who else is on record under the name of a player that a roster question is about.

The same name is no proof of the same child; people decide. An erased name leads to nobody.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from unicodedata import normalize

from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.record.corrections import rows_that_count
from ledger.record.kinds import BRINGS_IN, TAKES_PART
from ledger.store.store import Store


def find_namesakes(
    store: Store,
    asked: Collection[str],
    games: Iterable[str],
    *,
    as_of: str | None = None,
    known_at: str | None = None,
) -> dict[str, frozenset[str]]:
    """Return the others with the same name, by player asked about; nobody without any.

    They are players of the setup, or were entered by name in these games.
    """
    brought_in = (one.event for one in store.events(kind=BRINGS_IN["player"]))
    holders = rows_that_count(brought_in, as_of=as_of, known_at=known_at)
    holders += [one.event for one in store.events(kind=TAKES_PART, game=sorted(games))]
    named = {
        event.id: str(event.player)
        for event in holders
        if "name" in event.data.get("digests", {}) and _is_known(event, as_of, known_at)
    }
    called: dict[str, set[str]] = {}
    for row in store.disclosures(sorted(named)):
        if row.field == "name":
            name = _plain(open_disclosure(row.text).value)
            called.setdefault(name, set()).add(named[row.event_id])
    found = {}
    for player in asked:
        same = frozenset().union(*(who for who in called.values() if player in who))
        if others := same - {player}:
            found[player] = others
    return found


def _is_known(event: Event, as_of: str | None, known_at: str | None) -> bool:
    is_later = as_of is not None and (event.entered or "") > as_of
    return not is_later and (known_at is None or event.recorded <= known_at)


def _plain(name: str) -> str:
    """The name without differences of case, width and white space."""
    return " ".join(normalize("NFKC", name).casefold().split())
