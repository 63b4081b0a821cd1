"""A team's eligibility and list when its list was first signed, and now.

"When signed" counts what people had entered by the entry of either side's first signature. "As
recorded" counts what the ledger had received by the time it received that signature.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from ledger.chain.event import Event
from ledger.derive.engine import Engine
from ledger.derive.signatures import Signatures, SignedList
from ledger.derive.signed_list import signed_content
from ledger.derive.statements import Statement
from ledger.store.store import Stored

ANSWER = ("may_play", "may_carry", "basis", "listed")
Row = Mapping[str, Any]


class FirstSignature(NamedTuple):
    """A list's first signature: when it was entered and recorded (UTC text).

    `content` is the signed list as in `ledger.derive.signed_list`, None if not kept.
    """

    entered: str
    recorded: str
    content: Mapping[str, Any] | None


Signed = Mapping[tuple[str, str], FirstSignature]


@dataclass(frozen=True)
class ComparedRow:
    """A player's eligibility row at three moments; None if there was no row."""

    player: str
    number: int | None
    is_asked: bool
    then: Row | None
    recorded: Row | None
    now: Row | None

    @property
    def differs(self) -> bool:
        return _answer(self.then) != _answer(self.now)


@dataclass(frozen=True)
class Compared:
    """A team in a game. `signed_at` and `recorded_at` are None if nobody signed its list.

    `rows` are those of the players asked about and those that differ; `others` counts the rest.
    """

    game: str
    team: str
    signed_at: str | None
    recorded_at: str | None
    rows: tuple[ComparedRow, ...]
    others: int

    @property
    def events(self) -> frozenset[str]:
        return _events(self.rows)

    @property
    def asked_events(self) -> frozenset[str]:
        """Events behind the rows of the players asked about."""
        return _events(row for row in self.rows if row.is_asked)


@dataclass(frozen=True)
class ListLineThen:
    """A line of a list. `standing`: signed, added (after the first signature), unsigned (no
    signature yet), withdrawn (signed, but no longer on the list). `row` is the line now, `then` as
    it was first signed; the latter is None unless it was."""

    row: Row
    standing: str
    then: Row | None = None


@dataclass(frozen=True)
class ListThen:
    """A team's list of a game with its signatures, each with what has changed since.

    `signed_at` is when the first signature was entered, None if there is none.
    """

    game: str
    team: str
    signed_at: str | None
    lines: tuple[ListLineThen, ...]
    signatures: tuple[SignedList, ...]

    @property
    def events(self) -> frozenset[str]:
        rows = [row for line in self.lines for row in (line.row, line.then) if row]
        found = {row[key] for row in rows for key in ("event_id", "strike_id")}
        return frozenset((found | {signed.event_id for signed in self.signatures}) - {None})


class Moments:
    """The events of a case, with one engine for each other moment.

    `as_of` and `known_at` are the packet's own.
    """

    def __init__(
        self, stored: Sequence[Stored], *, as_of: str | None = None, known_at: str | None = None
    ) -> None:
        self.stored = stored
        self._own = {"as_of": as_of, "known_at": known_at}
        self._engines: dict[tuple[str | None, ...], Engine] = {}

    def at(self, **moment: str) -> Engine:
        """Return the engine of another `as_of` or `known_at` (UTC text)."""
        moments = self._own | moment
        key = tuple(moments.values())
        if key not in self._engines:
            self._engines[key] = Engine(self.stored, **moments)
        return self._engines[key]

    def close(self) -> None:
        for engine in self._engines.values():
            engine.close()


def first_signatures(
    engine: Engine, statements: Iterable[Statement], events: Mapping[str, Event]
) -> Signed:
    """Return each signed list's first signature, by game and team; `events` are by id."""
    signs = {row["position"] for row in engine.answer("signature").dicts()}
    found: dict[tuple[str, str], FirstSignature] = {}
    for one in sorted(statements, key=lambda one: (one.entered, one.position)):
        if one.position in signs:
            content = signed_content(events[one.event].data)
            first = FirstSignature(one.entered, one.recorded, content)
            found.setdefault((str(one.game), str(one.team)), first)
    return found


def compare(
    moments: Moments,
    engine: Engine,
    sides: Iterable[tuple[str, str]],
    signed: Signed,
    asked: frozenset[str],
) -> tuple[Compared, ...]:
    """Compare eligibility of these sides, then and now; `engine` is of the packet's moments."""
    found = []
    for game, team in sides:
        then = recorded = now = _eligible(engine, game, team)
        first = signed.get((game, team))
        if first and first.content:
            then = recorded = {row["player"]: row for row in first.content["rows"]}
        elif first:
            then = _eligible(moments.at(as_of=first.entered), game, team)
            recorded = _eligible(moments.at(known_at=first.recorded), game, team)
        rows = [
            ComparedRow(
                player=player,
                number=(now.get(player) or then.get(player) or recorded[player])["number"],
                is_asked=player in asked,
                then=then.get(player),
                recorded=recorded.get(player),
                now=now.get(player),
            )
            for player in now.keys() | then.keys() | recorded.keys()
        ]
        rows.sort(key=lambda row: (not row.is_asked, _place(row.number), row.player))
        kept = tuple(row for row in rows if row.is_asked or row.differs)
        signed_at, at = (first.entered, first.recorded) if first else (None, None)
        found.append(Compared(game, team, signed_at, at, kept, len(rows) - len(kept)))
    return tuple(found)


def lists_then(
    moments: Moments, engine: Engine, sides: Iterable[tuple[str, str]], signed: Signed
) -> tuple[ListThen, ...]:
    """Return the lists of these sides; `engine` as for `compare`."""
    signatures = Signatures(engine, moments.stored)
    found = []
    for game, team in sides:
        now = engine.answer("ineligible_list", game=game, team=team).dicts()
        lines = [ListLineThen(row, "unsigned") for row in now]
        first = signed.get((game, team))
        if first:
            then = _lines_then(first, moments, game, team)
            here = {row["event_id"]: row for row in now}
            lines = [
                ListLineThen(here[one], "signed" if one in then else "added", then.get(one))
                for one in here
            ]
            gone = [then[one] for one in then if one not in here]
            lines += [ListLineThen(row, "withdrawn", row) for row in gone]
        lines.sort(key=lambda line: (_place(line.row["number"]), line.row["player"]))
        signed_at = first.entered if first else None
        found.append(ListThen(game, team, signed_at, tuple(lines), signatures.of(game, team)))
    return tuple(found)


def _lines_then(
    first: FirstSignature, moments: Moments, game: str, team: str
) -> dict[str, dict[str, Any]]:
    """The signed lines by event, as in the answer `ineligible_list`."""
    if first.content is None:
        earlier = moments.at(as_of=first.entered)
        rows = earlier.answer("ineligible_list", game=game, team=team).dicts()
        return {row["event_id"]: row for row in rows}
    rights = {row["player"]: row for row in first.content["rows"]}
    return {
        line["event"]: {
            "game": game,
            "team": team,
            **{key: line[key] for key in ("number", "player", "reason")},
            "listed_at": line["at"],
            "listed_by": line["by"],
            "struck_at": line["struck"] and line["struck"]["at"],
            "struck_by": line["struck"] and line["struck"]["by"],
            **{key: rights[line["player"]][key] for key in ("may_play", "may_carry", "basis")},
            "event_id": line["event"],
            "strike_id": line["struck"] and line["struck"]["event"],
        }
        for line in first.content["lines"]
    }


def _eligible(engine: Engine, game: str, team: str) -> dict[str, Row]:
    rows = engine.answer("eligibility", game=game).dicts()
    return {row["player"]: row for row in rows if row["team"] == team}


def _answer(row: Row | None) -> tuple[Any, ...] | None:
    return tuple(row[key] for key in ANSWER) if row else None


def _events(rows: Iterable[ComparedRow]) -> frozenset[str]:
    answers = [answer for row in rows for answer in (row.then, row.now) if answer]
    return frozenset(event for answer in answers for event in answer["events"])


def _place(number: int | None) -> tuple[bool, int]:
    return number is None, number or 0
