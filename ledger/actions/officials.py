"""Who holds which role, stands where, and has which key, read by index alone: no engine.

A front end that serves many people asks this for every call. `read_officials` gives it as of now;
the front end keeps it until `changes_officials` says that an event changes it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from ledger.chain.note import format_verifier_key
from ledger.errors import RuleError
from ledger.record.corrections import rows_that_count
from ledger.record.kinds import BRINGS_IN, KEYS
from ledger.record.withdrawals import with_withdrawals, withdrawn
from ledger.say.names import Names
from ledger.store.acts import roles_given
from ledger.store.store import Store, Stored
from ledger.witness.keys import Scope, keys_in_force
from ledger.witness.officials import unlock

_READ = frozenset({*BRINGS_IN["official"], *KEYS, "assign", "game"})
_TAKEN_BACK = ("appoint", "assign")


class Held(NamedTuple):
    """A role someone holds; `game` is None unless it is for that game only."""

    role: str
    team: str | None
    game: str | None
    has_authority: bool


@dataclass(frozen=True)
class Officials:
    """Everyone with a role, by id.

    `assigned` are (game, team) of those assigned to stand at the scale, `keys` the lines of the
    keys in force, `sides` home and visitor by game. `standing` are the event ids whose withdrawal
    would change this.
    """

    names: Mapping[str, str]
    roles: Mapping[str, tuple[Held, ...]]
    assigned: Mapping[str, frozenset[tuple[str, str]]]
    keys: Mapping[Scope, str]
    sides: Mapping[str, tuple[str, str]]
    standing: frozenset[str]

    def key_games(self, official: str) -> list[str | None]:
        """What the official has a key for: None is the whole season, which comes first."""
        games = [game for whose, game in self.keys if whose == official]
        return sorted(games, key=lambda game: game or "")


def read_officials(store: Store) -> Officials:
    """Read everyone as of now."""
    kinds = [*BRINGS_IN["official"], *KEYS, "assign", "withdraw", "game"]
    events = [stored.event for stored in store.events(kind=kinds)]
    taken_back = [(e.id, str(e.data["target"])) for e in events if e.kind == "withdraw"]
    gone = withdrawn(taken_back)
    roles: defaultdict[str, list[Held]] = defaultdict(list)
    for one in roles_given(store):
        roles[one.official].append(Held(one.role, one.team, one.game, one.has_authority))
    assigned: defaultdict[str, set[tuple[str, str]]] = defaultdict(set)
    for event in events:
        if event.kind == "assign" and event.id not in gone:
            assigned[event.data["value"]].add((str(event.game), str(event.team)))
    keys = keys_in_force(event for event in events if event.kind in KEYS)
    games = rows_that_count(event for event in events if event.kind == "game")
    named = Names(store, [event for event in events if event.kind in BRINGS_IN["official"]])
    return Officials(
        names={official: named.of(official) for official in roles},
        roles={official: tuple(held) for official, held in roles.items()},
        assigned={official: frozenset(places) for official, places in assigned.items()},
        keys={scope: format_verifier_key(one.key) for scope, one in keys.items()},
        sides={str(event.game): (event.data["home"], event.data["visitor"]) for event in games},
        standing=frozenset(
            with_withdrawals([e.id for e in events if e.kind in _TAKEN_BACK], taken_back)
        ),
    )


def changes_officials(officials: Officials, stored: Stored) -> bool:
    """Whether this event, newer than what was read, changes it."""
    event = stored.event
    return event.kind in _READ or (
        event.kind == "withdraw" and event.data["target"] in officials.standing
    )


def prove(store: Store, officials: Officials, official: str, passphrase: str) -> str:
    """The line of the official's key that this passphrase opens; RuleError if it opens none.

    Takes a third of a second for each key tried, on purpose.
    """
    refused = RuleError(f"{official} has no key in force")
    for game in officials.key_games(official):
        try:
            key, _ = unlock(store, official, passphrase, game)
        except RuleError as error:
            refused = error
        else:
            return format_verifier_key(key.key)
    raise refused
