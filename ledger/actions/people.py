"""The officials: their roles, training, keys, and what they were assigned to and did."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.derive.answers import Asked, ask
from ledger.derive.asked import refuse_unknown
from ledger.derive.statements import Role
from ledger.errors import InputError
from ledger.record.fields import ROLES
from ledger.record.kinds import BRINGS_IN, KEYS
from ledger.say.names import Names
from ledger.store.acts import check_official
from ledger.store.store import Store
from ledger.suggest import suggest_hint
from ledger.witness.keys import OfficialKey, keys_in_force


@dataclass(frozen=True)
class Work:
    """What an official was assigned to and did in one game; `assigned` are teams."""

    game: str
    kickoff: str
    assigned: tuple[str, ...]
    is_at_scale: bool
    weighs: int
    initials: int
    listings: int
    signatures: int


@dataclass(frozen=True)
class Person:
    """An official. Times are UTC text.

    `trained_until` is None without training, and where training stays valid. `has_key`: for the
    whole season; `key_games` are the games that a key is for alone; `key_held`: what holds the key,
    "passphrase" or "device" (their phone). `work` is in order of kickoff.
    """

    official: str
    name: str
    roles: tuple[Role, ...]
    trained_at: str | None
    trained_until: str | None
    has_key: bool
    key_games: tuple[str, ...]
    key_held: str | None
    work: tuple[Work, ...]

    def assigned_after(self, moment: str) -> tuple[str, ...]:
        """The games with a kickoff after this moment in which the official is to weigh."""
        return tuple(one.game for one in self.work if one.assigned and one.kickoff > moment)

    @property
    def worked(self) -> tuple[str, ...]:
        return tuple(one.game for one in self.work if one.is_at_scale)


def people(
    store: Store,
    *,
    official: str | None = None,
    role: str | None = None,
    team: str | None = None,
    as_of: str | None = None,
    known_at: str | None = None,
) -> tuple[tuple[Person, ...], Asked]:
    """Everyone with a role, by id, and the answer behind it.

    `official` keeps one person, `role` and `team` those who hold that role, for that team.
    InputError for an unknown official, role or team.
    """
    if official is not None:
        check_official(store, official)
    if role is not None and role not in ROLES:
        hint = suggest_hint(role, ROLES, f"Roles are: {', '.join(ROLES)}.")
        raise InputError(f"no role {role}", hint=hint)
    refuse_unknown(store, team=team)
    asked = ask(store, "people", as_of=as_of, known_at=known_at)
    roles = _roles(asked)
    work = _work(asked.engine.answer("weigh_in_work").dicts())
    keys = keys_in_force(
        one.event
        for one in store.events(kind=KEYS)
        if known_at is None or one.event.recorded <= known_at
    )
    names = Names(
        store,
        [one.event for one in asked.events if one.event.kind in BRINGS_IN["official"]],
        as_of=as_of,
        known_at=known_at,
    )
    found = []
    for row in asked.answer.dicts():
        who = row["official"]
        if official in (None, who) and any(
            role in (None, one.role) and team in (None, one.team) for one in roles[who]
        ):
            games = sorted(game for whose, game in keys if whose == who and game)
            found.append(
                Person(
                    official=who,
                    name=names.of(who),
                    roles=tuple(roles[who]),
                    trained_at=row["trained_at"],
                    trained_until=row["trained_until"],
                    has_key=(who, None) in keys,
                    key_games=tuple(games),
                    key_held=_held([one for (whose, _), one in keys.items() if whose == who]),
                    work=work.get(who, ()),
                )
            )
    return tuple(found), asked


def _held(keys: Sequence[OfficialKey]) -> str | None:
    if not keys:
        return None
    return "device" if any(one.is_on_phone for one in keys) else "passphrase"


def _roles(asked: Asked) -> Mapping[str, list[Role]]:
    roles: defaultdict[str, list[Role]] = defaultdict(list)
    for row in asked.engine.answer("role").dicts():
        one = Role(row["role"], row["team"], row["game"], row["has_authority"])
        roles[row["official"]].append(one)
    return roles


def _work(rows: Iterable[Mapping[str, Any]]) -> dict[str, tuple[Work, ...]]:
    """What each official did by game, for both teams together."""
    by_game: defaultdict[str, defaultdict[str, list[Mapping[str, Any]]]]
    by_game = defaultdict(lambda: defaultdict(list))
    for row in rows:
        by_game[row["official"]][row["game"]].append(row)
    return {
        official: tuple(_of_game(game, both) for game, both in games.items())
        for official, games in by_game.items()
    }


def _of_game(game: str, rows: list[Mapping[str, Any]]) -> Work:
    counts = ("weighs", "initials", "listings", "signatures")
    return Work(
        game=game,
        kickoff=rows[0]["kickoff_at"],
        assigned=tuple(row["team"] for row in rows if row["is_assigned"]),
        is_at_scale=any(row["is_at_scale"] for row in rows),
        **{count: sum(row[count] for row in rows) for count in counts},
    )
