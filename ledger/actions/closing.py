"""What is asked around the close of a team's weigh-in: before it, and of a weigh after it."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.actions.asking import Acting, AskLateError, ask_despite
from ledger.record.statements import Close, LateWeigh, Statement, Weigh
from ledger.record.withdrawals import withdrawn
from ledger.say.clock import time_beside
from ledger.store.league import league_zone
from ledger.store.store import Store
from ledger.store.withdrawals import with_withdrawals


def before_closing(
    store: Store, statements: Sequence[Statement], acting: Acting
) -> Sequence[Statement]:
    """The statements to record: a weigh after the close as a late weigh, if it was one.

    Raises AskLateError for a weigh after the close, unless there are several, as from a paper.
    Raises AskDespiteError if something is open at a close, unless it comes with other statements,
    which may settle it.
    """
    match statements:
        case [Close() as close]:
            _ask_what_is_open(store, close, acting)
    if sum(isinstance(one, Weigh) for one in statements) != 1:
        return statements
    return [_late(store, one, acting) if isinstance(one, Weigh) else one for one in statements]


def _ask_what_is_open(store: Store, close: Close, acting: Acting) -> None:
    # Late: DuckDB takes longer to import than most entries take.
    from ledger.derive.engine import Engine
    from ledger.derive.scope import read_game
    from ledger.derive.settling import read_settling

    if not list(store.events(kind=["game"], game=[close.game])):
        return  # refused in a moment, with the words of a wrong id
    engine = Engine(read_game(store, close.game))
    ask_despite(read_settling(engine, close.game, close.team), store, acting)
    engine.close()


def _late(store: Store, weigh: Weigh, acting: Acting) -> Statement:
    """The weigh, or a late weigh if the person said that it was one."""
    if acting.late is False:
        return weigh
    closed_at = _closed_at(store, weigh.game, weigh.team)
    if closed_at is None or weigh.at <= closed_at:
        return weigh
    if acting.late is None:
        zone = league_zone(store)
        closed = time_beside(weigh.at, closed_at, zone)
        raise AskLateError(weigh.team, weigh.game, closed, time_beside(closed_at, weigh.at, zone))
    return LateWeigh.model_validate(weigh.model_dump())


def _closed_at(store: Store, game: str, team: str) -> str | None:
    """When the team's weigh-in was first closed, by what counts; None if it is open."""
    closes = [stored.event for stored in store.events(kind=["close"], game=[game], team=[team])]
    if not closes:
        return None
    later = [one for one in with_withdrawals(store, closes) if one.kind == "withdraw"]
    gone = withdrawn((one.id, one.data["target"]) for one in later)
    return min((one.at or "" for one in closes if one.id not in gone), default=None)
