"""The games of a season as they stand now, read by index alone: no engine."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import NamedTuple

from ledger.record.corrections import rows_that_count
from ledger.record.kinds import SCHEDULE
from ledger.record.withdrawals import withdrawn
from ledger.store.store import Store, Stored
from ledger.store.withdrawals import withdrawals_of


class Scheduled(NamedTuple):
    """A game as games.csv, game_change and game_off have it."""

    game: str
    division: str
    kickoff: str
    site: str | None
    home: str
    visitor: str
    is_off: bool

    @property
    def sides(self) -> tuple[str, str]:
        return self.home, self.visitor


def schedule(store: Store, games: Iterable[str] | None = None) -> dict[str, Scheduled]:
    """These games, or all, by id."""
    where = {} if games is None else {"game": sorted(games)}
    read = list(store.events(kind=SCHEDULE, **where))
    gone = gone_of(store, read)
    rows = rows_that_count(stored.event for stored in read if stored.event.kind == "game")
    changes: dict[str, list[tuple[str, Stored]]] = defaultdict(list)
    off = set()
    for stored in read:
        event = stored.event
        if event.kind == "game" or event.id in gone:
            continue
        if event.kind == "game_off":
            off.add(event.game)
        else:
            changes[str(event.game)].append((event.entered or "", stored))
    found = {}
    for row in rows:
        game, data = str(row.game), dict(row.data)
        for _, stored in sorted(changes[game]):
            said = stored.event.data
            data |= {key: said[key] for key in ("kickoff", "site") if key in said}
        found[game] = Scheduled(
            game, data["division"], data["kickoff"], data.get("site"), data["home"],
            data["visitor"], game in off,
        )  # fmt: skip
    return found


def gone_of(store: Store, read: Iterable[Stored]) -> set[str]:
    """Which of these are withdrawn."""
    stated = [stored.id for stored in read if stored.event.at]
    later = [stored.event for stored in withdrawals_of(store, stated)]
    return withdrawn((event.id, str(event.data["target"])) for event in later)
