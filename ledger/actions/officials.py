"""Who holds which role, stands where, and has which key, read by index alone: no engine.

A front end that serves many people asks this for every call. `read_officials` gives it as of now;
the front end keeps it until `changes_officials` says that an event changes it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

from ledger.chain.keys import check_signature
from ledger.chain.note import format_verifier_key, parse_base64, parse_verifier_key
from ledger.errors import InputError, IntegrityError, RuleError
from ledger.record.authority import AT_THE_TABLE
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
    """A role someone holds; `game` is None unless it is for that game only.

    `by` gave it, None for a line of officials.csv. It is `to_confirm` if the other team's
    weighmaster of that game gave it, and nobody with authority has given it since.
    """

    role: str
    team: str | None
    game: str | None
    has_authority: bool
    by: str | None = None
    to_confirm: bool = False


@dataclass(frozen=True)
class Officials:
    """Everyone with a role, by id.

    `assigned` are (game, team) of those assigned to stand at the scale, `keys` the lines of the
    keys in force, `sides` home and visitor by game. `standing` are the event ids whose withdrawal
    would change this. `on_phones`: which of the keys a phone holds.
    """

    names: Mapping[str, str]
    roles: Mapping[str, tuple[Held, ...]]
    assigned: Mapping[str, frozenset[tuple[str, str]]]
    keys: Mapping[Scope, str]
    sides: Mapping[str, tuple[str, str]]
    standing: frozenset[str]
    on_phones: frozenset[Scope] = frozenset()

    def key_games(self, official: str, *, on_phone: bool = False) -> list[str | None]:
        """What the official has a key for: None is the whole season, which comes first.

        Keys that a passphrase opens, or those that a phone holds.
        """
        own = [scope for scope in self.keys if scope[0] == official]
        games = [scope[1] for scope in own if (scope in self.on_phones) == on_phone]
        return sorted(games, key=lambda game: game or "")

    def is_coach(self, official: str, game: str | None) -> bool:
        """Whether the official coaches either team of this game, with authority or without."""
        sides = self.sides.get(game or "", ())
        return any(
            one.role == "coach" and one.team in sides and one.game in (None, game)
            for one in self.roles.get(official, ())
        )

    def is_across(self, official: str, team: str | None, game: str) -> bool:
        """Whether the official is a weighmaster of the other team in this game.

        With authority, by role or assigned; never a coach of either team.
        """
        sides = self.sides.get(game, ())
        if team not in sides or self.is_coach(official, game):
            return False
        others = {side for side in sides if side != team}
        assigned = {where for where in self.assigned.get(official, ()) if where[0] == game}
        return any(
            one.role == "weighmaster"
            and one.has_authority
            and one.game in (None, game)
            and (one.team in others or any(side in others for _, side in assigned))
            for one in self.roles.get(official, ())
        )

    def signs_with(self, official: str, game: str | None) -> Scope | None:
        """Which key signs a list of this game: that for the season, else the one for the game."""
        scopes: tuple[Scope, ...] = ((official, None), (official, game))
        return next((scope for scope in scopes if scope in self.keys), None)


def read_officials(store: Store) -> Officials:
    """Read everyone as of now."""
    kinds = [*BRINGS_IN["official"], *KEYS, "assign", "withdraw", "game"]
    events = [stored.event for stored in store.events(kind=kinds)]
    taken_back = [(e.id, str(e.data["target"])) for e in events if e.kind == "withdraw"]
    gone = withdrawn(taken_back)
    roles: defaultdict[str, list[Held]] = defaultdict(list)
    for one in roles_given(store):
        roles[one.official].append(Held(*one[1:4], one.has_authority, one.by))
    assigned: defaultdict[str, set[tuple[str, str]]] = defaultdict(set)
    for event in events:
        if event.kind == "assign" and event.id not in gone:
            assigned[event.data["value"]].add((str(event.game), str(event.team)))
    keys = keys_in_force(event for event in events if event.kind in KEYS)
    games = rows_that_count(event for event in events if event.kind == "game")
    named = Names(store, [event for event in events if event.kind in BRINGS_IN["official"]])
    found = Officials(
        names={official: named.of(official) for official in roles},
        roles={official: tuple(held) for official, held in roles.items()},
        assigned={official: frozenset(places) for official, places in assigned.items()},
        keys={scope: format_verifier_key(one.key) for scope, one in keys.items()},
        sides={str(event.game): (event.data["home"], event.data["visitor"]) for event in games},
        standing=frozenset(
            with_withdrawals([e.id for e in events if e.kind in _TAKEN_BACK], taken_back)
        ),
        on_phones=frozenset(scope for scope, one in keys.items() if one.is_on_phone),
    )
    marked = {who: tuple(_marked(found, who, one) for one in roles[who]) for who in roles}
    return replace(found, roles=marked)


def _marked(officials: Officials, official: str, held: Held) -> Held:
    given = [one for one in officials.roles[official] if one.has_authority]
    is_given = any(one[:2] == held[:2] and one.game in (None, held.game) for one in given)
    to_confirm = (
        not held.has_authority
        and not is_given
        and held.role in AT_THE_TABLE
        and held.game is not None
        and held.by not in (None, official)
        and officials.is_across(str(held.by), held.team, held.game)
    )
    return held._replace(to_confirm=to_confirm)


def changes_officials(officials: Officials, stored: Stored) -> bool:
    """Whether this event, newer than what was read, changes it."""
    event = stored.event
    return event.kind in _READ or (
        event.kind == "withdraw" and event.data["target"] in officials.standing
    )


def proves(officials: Officials, official: str, text: bytes, signature: str) -> str:
    """The line of the official's phone key that signed this text (base64); "" for none."""
    for game in officials.key_games(official, on_phone=True):
        line = officials.keys[official, game]
        try:
            check_signature(parse_verifier_key(line).public, text, parse_base64(signature))
        except (InputError, IntegrityError):
            continue
        return line
    return ""


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
