"""A team's eligibility and list when its list was first signed, and now.

"When signed" goes by what had been entered when the first signature of either side was; "as
recorded" by what the ledger itself had received when it received that signature.
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
    """A list's first signature: when it was entered and recorded (UTC text), and what it signed.

    `content` as `ledger.derive.signed_list` has it; None where the signature does not keep it.
    """

    entered: str
    recorded: str
    content: Mapping[str, Any] | None


Signed = Mapping[tuple[str, str], FirstSignature]


@dataclass(frozen=True)
class ComparedRow:
    """A player's row of eligibility at three moments; None where there was no row."""

    player: str
    number: int | None
    is_asked: bool
    then: Row | None
    recorded: Row | None
    now: Row | None

    @property
    def differs(self) -> bool:
        return _answer(self.then) != _answer(self.now)

    @property
    def was_recorded_otherwise(self) -> bool:
        """Whether the ledger had received something else than was written down by then, or now."""
        recorded = _answer(self.recorded)
        return recorded not in (_answer(self.then), _answer(self.now))


@dataclass(frozen=True)
class Compared:
    """A team in a game. `signed_at` and `recorded_at` are None where nobody signed its list.

    `rows` are of the players asked about and of those whose row differs; `others` counts the rest.
    """

    game: str
    team: str
    signed_at: str | None
    recorded_at: str | None
    rows: tuple[ComparedRow, ...]
    others: int

    @property
    def events(self) -> frozenset[str]:
        return frozenset(_events(self.rows))

    @property
    def asked_events(self) -> frozenset[str]:
        """What the rows of the players asked about rest on."""
        return frozenset(_events(row for row in self.rows if row.is_asked))


@dataclass(frozen=True)
class ListLineThen:
    """A line of a list. `standing`: signed, added (after the first signature), unsigned (there is
    no signature), withdrawn (it was on the list when it was signed)."""

    row: Row
    standing: str


@dataclass(frozen=True)
class ListThen:
    """A team's list of a game with its signatures, each with what has changed since."""

    game: str
    team: str
    lines: tuple[ListLineThen, ...]
    signatures: tuple[SignedList, ...]

    @property
    def events(self) -> frozenset[str]:
        found = {line.row[key] for line in self.lines for key in ("event_id", "strike_id")}
        return frozenset((found | {signed.event_id for signed in self.signatures}) - {None})


class Moments:
    """The events of a case with engines of them at other moments, each made once.

    `as_of` and `known_at` are the packet's own.
    """

    def __init__(
        self, stored: Sequence[Stored], *, as_of: str | None = None, known_at: str | None = None
    ) -> None:
        self._stored = stored
        self._as_of, self._known_at = as_of, known_at
        self._engines: dict[tuple[str | None, str | None], Engine] = {}

    def entered_by(self, moment: str) -> Engine:
        return self._at(moment, self._known_at)

    def recorded_by(self, moment: str) -> Engine:
        return self._at(self._as_of, moment)

    def signatures(self, engine: Engine) -> Signatures:
        """The signatures to the lists of `engine`, which has these events as of some moment."""
        return Signatures(engine, self._stored)

    def close(self) -> None:
        for engine in self._engines.values():
            engine.close()

    def _at(self, as_of: str | None, known_at: str | None) -> Engine:
        key = as_of, known_at
        if key not in self._engines:
            self._engines[key] = Engine(self._stored, as_of=as_of, known_at=known_at)
        return self._engines[key]


def first_signatures(
    engine: Engine, statements: Iterable[Statement], events: Mapping[str, Event]
) -> Signed:
    """Of every list that was signed, by the engine and the statements it tells; `events` by id."""
    signs = {row["position"] for row in engine.answer("signature").dicts()}
    signatures = sorted(
        (one for one in statements if one.position in signs),
        key=lambda one: (one.entered, one.position),
    )
    found: dict[tuple[str, str], FirstSignature] = {}
    for one in signatures:
        first = FirstSignature(one.entered, one.recorded, signed_content(events[one.event].data))
        found.setdefault((str(one.game), str(one.team)), first)
    return found


def compare(
    moments: Moments,
    engine: Engine,
    sides: Iterable[tuple[str, str]],
    signed: Signed,
    asked: frozenset[str],
) -> tuple[Compared, ...]:
    """Eligibility of these sides, then and now; `engine` has the events as of the two moments."""
    found = []
    for game, team in sides:
        now = _eligible(engine, game, team)
        first = signed.get((game, team))
        then = recorded = now
        if first:
            then = _then(first, moments, game, team)
            recorded = then
            if first.content is None:
                recorded = _eligible(moments.recorded_by(first.recorded), game, team)
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
    """The lists of these sides; `engine` as for `compare`."""
    signatures = moments.signatures(engine)
    found = []
    for game, team in sides:
        now = engine.answer("ineligible_list", game=game, team=team).dicts()
        lines = [ListLineThen(row, "unsigned") for row in now]
        if first := signed.get((game, team)):
            then = _lines_then(first, moments, game, team)
            here = {row["event_id"] for row in now}
            lines = [
                ListLineThen(row, "signed" if row["event_id"] in then else "added") for row in now
            ]
            gone = [row for event_id, row in then.items() if event_id not in here]
            lines += [ListLineThen(row, "withdrawn") for row in gone]
        lines.sort(key=lambda line: (_place(line.row["number"]), line.row["player"]))
        found.append(ListThen(game, team, tuple(lines), signatures.of(game, team)))
    return tuple(found)


def _then(first: FirstSignature, moments: Moments, game: str, team: str) -> dict[str, Row]:
    if first.content is None:
        return _eligible(moments.entered_by(first.entered), game, team)
    return {row["player"]: row for row in first.content["rows"]}


def _lines_then(
    first: FirstSignature, moments: Moments, game: str, team: str
) -> dict[str, dict[str, Any]]:
    """The lines that were signed, by event, as the answer `ineligible_list` has them."""
    if first.content is None:
        earlier = moments.entered_by(first.entered)
        rows = earlier.answer("ineligible_list", game=game, team=team).dicts()
        return {row["event_id"]: row for row in rows}
    rights = {row["player"]: row for row in first.content["rows"]}
    return {
        line["event"]: {
            "game": game,
            "team": team,
            "number": line["number"],
            "player": line["player"],
            "reason": line["reason"],
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


def _events(rows: Iterable[ComparedRow]) -> Iterable[str]:
    for row in rows:
        for one in (row.then, row.now):
            yield from one["events"] if one else ()


def _place(number: int | None) -> tuple[bool, int]:
    return number is None, number or 0
