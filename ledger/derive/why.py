"""Why a player may play and carry in a game: the answer, what it rests on, what would change it.

Pure: events in, a `Why` out. `ledger.say.why` turns its codes into sentences, the same on screen
and on paper. "What if it had not been withdrawn" is derived again by the same queries.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from ledger.derive.asked import not_held_yet, refuse_no_side
from ledger.derive.engine import Engine
from ledger.derive.signatures import Signatures, SignedList
from ledger.derive.statements import Statement
from ledger.derive.why_facts import CarryBy, Cited, Facts, PlayBy, Right, Tables, Undone
from ledger.errors import InputError
from ledger.record.corrections import rows_that_count
from ledger.store.store import Stored

_FACTS = ("by_rules", "crossed_off", "play_by", "carry_by", "presented", "counts", "mark", "weighs",
          "closed", "half_ended", "rests_on", "also", "findings")  # fmt: skip
"""Fields of Why that are as `Facts` has them."""


@dataclass(frozen=True)
class Why:
    """Everything an explanation says; times are UTC text, `league` is the data of its event.

    `by_rules` is the answer before any ruling. `presented`, `counts` and `mark` are the
    presentation, the weigh that counts and the book mark; `weighs` are all that stand.
    `crossed_off` has the reasons of listings that no longer stand. `rests_on` and `also` are in
    order of time. `signed` are the signatures to the team's list, `taken_back` the withdrawn ones
    with their withdrawals.
    """

    game: str
    team: str
    player: str
    number: int | None
    is_on_roster: bool
    team_name: str
    league: Mapping[str, Any]
    as_of: str | None
    known_at: str | None
    right: Right
    by_rules: Right
    basis: str
    listed: tuple[str, ...]
    crossed_off: tuple[str, ...]
    play_by: PlayBy
    carry_by: CarryBy
    presented: Statement | None
    counts: Statement | None
    mark: Statement | None
    weighs: tuple[Statement, ...]
    closed: Statement | None
    half_ended: Statement | None
    play_ruling: Statement | None
    carry_ruling: Statement | None
    rests_on: tuple[Statement, ...]
    also: tuple[Cited, ...]
    undone: tuple[Undone, ...]
    findings: tuple[Mapping[str, Any], ...]
    signed: tuple[SignedList, ...] = ()
    taken_back: tuple[tuple[Statement, Statement], ...] = ()


def explain(
    events: Sequence[Stored],
    game: str,
    *,
    player: str | None = None,
    team: str | None = None,
    number: int | None = None,
    as_of: str | None = None,
    known_at: str | None = None,
) -> Why:
    """Explain a player's row of the game's eligibility.

    Give the player's id (and the team, if the id has a row for both), or team and number.
    InputError unless exactly one row of the game matches.
    """
    engine = Engine(events, as_of=as_of, known_at=known_at)
    explaining = _Explaining(engine, events, game, as_of, known_at)
    why = explaining.of(_row(engine, game, {"player": player, "team": team, "number": number}))
    engine.close()
    return why


def explain_each(
    events: Sequence[Stored],
    game: str,
    children: Collection[tuple[str, str]],
    *,
    as_of: str | None = None,
    known_at: str | None = None,
) -> dict[tuple[str, str], Why]:
    """Explain the rows of these children (team, player) that the game's eligibility has."""
    engine = Engine(events, as_of=as_of, known_at=known_at)
    explaining = _Explaining(engine, events, game, as_of, known_at)
    rows = engine.answer("eligibility", game=game).dicts()
    found = {
        child: explaining.of(row)
        for row in rows
        if (child := (row["team"], row["player"])) in children
    }
    engine.close()
    return found


class _Explaining:
    """What explanations of one game share."""

    def __init__(
        self,
        engine: Engine,
        events: Sequence[Stored],
        game: str,
        as_of: str | None,
        known_at: str | None,
    ) -> None:
        self._events, self._as_of, self._known_at = events, as_of, known_at
        read = (stored.event for stored in events)
        self._parsed = rows_that_count(read, as_of=as_of, known_at=known_at)
        held_since = next(
            event.recorded for event in self._parsed if (event.kind, event.game) == ("game", game)
        )
        if known_at and known_at < held_since:
            raise not_held_yet(game, held_since)
        self._engine, self._game = engine, game

    @cached_property
    def _tables(self) -> Tables:
        return Tables(self._engine)

    @cached_property
    def _signatures(self) -> Signatures:
        return Signatures(self._engine, self._events)

    def of(self, row: Mapping[str, Any]) -> Why:
        """Explain a row of the game's eligibility."""
        facts, team = Facts(self._tables, row), row["team"]
        teams = [e.data["name"] for e in self._parsed if (e.kind, e.team) == ("team", team)]
        return Why(
            game=self._game,
            team=team,
            player=row["player"],
            number=row["number"],
            is_on_roster=facts.entitlement["is_on_roster"],
            team_name=teams[-1],
            league=next(event.data for event in self._parsed if event.kind == "league"),
            as_of=self._as_of,
            known_at=self._known_at,
            right=Right(row["may_play"], row["may_carry"]),
            basis=row["basis"],
            listed=tuple(row["listed"]),
            play_ruling=facts.ruling("may_play"),
            carry_ruling=facts.ruling("may_carry"),
            undone=facts.undone(self._events, self._as_of, self._known_at),
            **{name: getattr(facts, name) for name in _FACTS},
            signed=self._signatures.of(self._game, team),
            taken_back=self._signatures.taken_back(self._game, team),
        )


def _row(engine: Engine, game: str, wanted: Mapping[str, str | int | None]) -> dict[str, Any]:
    given = {key: value for key, value in wanted.items() if value is not None}
    if team := wanted["team"]:
        own = next(row for row in engine.answer("game").dicts() if row["game"] == game)
        refuse_no_side(game, str(team), (own["visitor"], own["home"]))
    if "player" not in given and len(given) < 2:
        hint = "Give a player's id, or both a team and a number."
        raise InputError("no player is given", hint=hint)
    rows = engine.answer("eligibility", game=game).dicts()
    rows = [row for row in rows if given.items() <= row.items()]
    who = " ".join(str(value) for value in given.values())
    if not rows:
        hint = f"weighbook eligibility {game} lists them. A game that is off has no players."
        raise InputError(f"{who} is not among the players of {game}", hint=hint)
    if len(rows) > 1:
        ids = " or ".join(f"{row['player']} of {row['team']}" for row in rows)
        raise InputError(f"{who} is more than one row in {game}", hint=f"Say which: {ids}.")
    return rows[0]
