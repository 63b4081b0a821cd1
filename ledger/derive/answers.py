"""Answer a question for every front end: read the events it needs, and derive the answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.derive.asked import refuse_unknown
from ledger.derive.engine import Answer, Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_book, read_game, read_season
from ledger.store.league import league_zone
from ledger.store.store import Store, Stored


@dataclass(frozen=True)
class Asked:
    """An answer as of these moments (UTC text), with the events and engine behind it.

    `zone` is the league's time zone, in which to show times.
    """

    answer: Answer
    engine: Engine
    events: Sequence[Stored]
    zone: str
    game: str | None
    as_of: str | None
    known_at: str | None


def ask(
    store: Store,
    name: str,
    *,
    game: str | None = None,
    team: str | None = None,
    rule: str | None = None,
    as_of: str | None = None,
    known_at: str | None = None,
) -> Asked:
    """Return the answer `name` (a file of `sql/answers/`) for a game, a team or the season.

    "book" takes a team; "findings" may be narrowed to game, team and rule. InputError for an
    unknown game, team or rule.
    """
    if name == "findings":
        refuse_unknown(store, game=game, team=team)
    if name == "book" and team is not None:
        events = read_book(store, team)
    elif game is not None:
        events = read_game(store, game, as_of=as_of, known_at=known_at)
    else:
        events = list(read_season(store))
    engine = Engine(events, as_of=as_of, known_at=known_at)
    if name == "findings":
        answer = find(engine, game=game, team=team, rule=rule)
    else:
        answer = engine.answer(name, game=game, team=team)
    return Asked(answer, engine, events, league_zone(store), game, as_of, known_at)
