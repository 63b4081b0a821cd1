"""A team's eligibility and list when its list was first signed, and now.

"When signed" goes by what had been entered when the first signature of either side was; "as
recorded" by what the ledger itself had received when it received that signature.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.chain.event import Event
from ledger.derive.engine import Engine
from ledger.derive.told import Told
from ledger.store.store import Stored
from ledger.witness.countersign import list_digest

ANSWER = ("may_play", "may_carry", "basis", "listed")
Row = Mapping[str, Any]
Signed = Mapping[tuple[str, str], tuple[str, str]]
"""By game and team, when the list's first signature was entered and recorded (UTC text)."""


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
    """A team's list of a game with its signatures; digests are hex, "" where an event has none.

    `digest` is that of the list now.
    """

    game: str
    team: str
    lines: tuple[ListLineThen, ...]
    signatures: tuple[Row, ...]
    digests: Mapping[str, str]
    digest: str

    @property
    def events(self) -> frozenset[str]:
        found = {line.row[key] for line in self.lines for key in ("event_id", "strike_id")}
        return frozenset((found | {row["event_id"] for row in self.signatures}) - {None})


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

    def close(self) -> None:
        for engine in self._engines.values():
            engine.close()

    def _at(self, as_of: str | None, known_at: str | None) -> Engine:
        key = as_of, known_at
        if key not in self._engines:
            self._engines[key] = Engine(self._stored, as_of=as_of, known_at=known_at)
        return self._engines[key]


def first_signatures(engine: Engine, told: Iterable[Told]) -> Signed:
    """Of every list that was signed, by the engine and the statements it tells."""
    signs = {row["position"] for row in engine.answer("signature").dicts()}
    signatures = sorted(
        (one for one in told if one.position in signs), key=lambda one: (one.entered, one.position)
    )
    found: dict[tuple[str, str], tuple[str, str]] = {}
    for one in signatures:
        found.setdefault((str(one.game), str(one.team)), (one.entered, one.recorded))
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
            entered, recorded_at = first
            then = _eligible(moments.entered_by(entered), game, team)
            recorded = _eligible(moments.recorded_by(recorded_at), game, team)
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
        signed_at, at = first or (None, None)
        found.append(Compared(game, team, signed_at, at, kept, len(rows) - len(kept)))
    return tuple(found)


def lists_then(
    moments: Moments,
    engine: Engine,
    sides: Iterable[tuple[str, str]],
    signed: Signed,
    events: Mapping[str, Event],
) -> tuple[ListThen, ...]:
    """The lists of these sides; `engine` as for `compare`, `events` are its own by id."""
    found = []
    for game, team in sides:
        now = engine.answer("ineligible_list", game=game, team=team).dicts()
        lines = [ListLineThen(row, "unsigned") for row in now]
        if first := signed.get((game, team)):
            earlier = moments.entered_by(first[0]).answer("ineligible_list", game=game, team=team)
            then = {row["event_id"]: row for row in earlier.dicts()}
            here = {row["event_id"] for row in now}
            lines = [
                ListLineThen(row, "signed" if row["event_id"] in then else "added") for row in now
            ]
            gone = [row for event_id, row in then.items() if event_id not in here]
            lines += [ListLineThen(row, "withdrawn") for row in gone]
        lines.sort(key=lambda line: (_place(line.row["number"]), line.row["player"]))
        signatures = tuple(engine.answer("list_signatures", game=game, team=team).dicts())
        digests = {
            row["event_id"]: events[row["event_id"]].data.get("list", "") for row in signatures
        }
        digest = list_digest(game, team, now)
        found.append(ListThen(game, team, tuple(lines), signatures, digests, digest))
    return tuple(found)


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
