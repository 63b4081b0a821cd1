"""What a ledger knows when it accepts a statement.

Loading a folder learns the whole ledger in one pass. A single statement asks a `Source` for each
name it uses, once; `topics_of` says which events belong to a name. Both give the same result. Use
each `Known` for one acceptance only.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Literal, NamedTuple, Protocol, TypeVar

from ledger.record.accepted import Order, Stated, subject_of
from ledger.record.corrections import weight_of
from ledger.record.fields import UNLISTED
from ledger.record.kinds import OWN, ROSTER, SETUP, TABLE
from ledger.record.rosters import Rosters
from ledger.record.withdrawals import withdrawn

Value = TypeVar("Value")

Topic = Literal["team", "game", "official", "player", "statement", "ref", "case",
                "moves", "kickoffs", "withdrawals"]  # fmt: skip
"""Names are ids: the team's for roster moves, the game's for kickoff changes, the event's for
statements, the target's for withdrawals. A ref or case starts with its chain and a colon."""


class KnownGame(NamedTuple):
    """A game in games.csv, as corrected."""

    home: str
    visitor: str
    kickoff: str


class Found(NamedTuple):
    """An event to learn: its content, its id, its place in ledger order, and its topics."""

    stated: Stated
    event: str
    order: Order
    topics: Sequence[tuple[Topic, str]]


class Source(Protocol):
    """Looks up what is not known yet."""

    def find(self, topic: Topic, names: Collection[str]) -> Iterable[Found]:
        """Return the topic's events under these names, in ledger order."""
        ...

    def find_all(self, topic: Topic, chain: str) -> Iterable[Found]:
        """Return all the topic's events (refs and cases: of that chain), in ledger order."""
        ...


def topics_of(stated: Stated, event: str) -> Iterator[tuple[Topic, str]]:
    """Yield the topics and names the event belongs to."""
    kind, data = stated.kind, stated.data
    chain = event.rpartition(":")[0]
    if kind not in SETUP + OWN:
        yield "statement", event
    if "ref" in data:
        yield "ref", f"{chain}:{data['ref']}"
    if stated.player is not None and stated.player.startswith(UNLISTED):
        yield "player", stated.player
    if kind in ROSTER and stated.team is not None and stated.player is not None:
        yield "moves", stated.team
    if kind in TABLE and (named := TABLE[kind].brings_in):
        name = subject_of(kind, data) or getattr(stated, named)
        if name is not None:
            yield named, f"{chain}:{name}" if named == "case" else name
    if kind == "game_change" and "kickoff" in data and stated.game is not None:
        yield "kickoffs", stated.game
    if kind == "withdraw":
        yield "withdrawals", data["target"]


class _Kickoff(NamedTuple):
    """A game change that moves a kickoff; these sort by when they were entered."""

    entered: str
    order: Order
    event: str
    kickoff: str


class Names(Mapping[str, Value]):
    """Values of one topic by name; looks up names not learned yet.

    Iterating yields every name (for players, not `unlisted-…`), to suggest one for a typo.
    """

    def __init__(self, known: Known, topic: Topic, chain: str = "") -> None:
        self._known, self._topic, self._chain = known, topic, chain
        self._held: dict[str, Value] = {}

    def hold(self, name: str, value: Value) -> None:
        self._held[name] = value

    def __contains__(self, name: object) -> bool:
        if name in self._held:
            return True
        if isinstance(name, str):
            self._known.ask(self._topic, [f"{self._chain}:{name}" if self._chain else name])
        return name in self._held

    def __getitem__(self, name: str) -> Value:
        if name in self:
            return self._held[name]
        raise KeyError(name)

    def __iter__(self) -> Iterator[str]:
        self._known.ask_all(self._topic, self._chain)
        return (name for name in self._held if not name.startswith(UNLISTED))

    def __len__(self) -> int:
        return sum(1 for _ in self)


class InChain:
    """Refs and cases of one chain, each with its event's id."""

    def __init__(self, known: Known, chain: str) -> None:
        self.refs = Names[str](known, "ref", chain)
        self.cases = Names[str](known, "case", chain)


class _Chains(dict[str, InChain]):
    def __init__(self, known: Known) -> None:
        super().__init__()
        self._known = known

    def __missing__(self, chain: str) -> InChain:
        return self.setdefault(chain, InChain(self._known, chain))


class Known:
    """Learns events in ledger order: all of them, or those it asks its source for."""

    def __init__(self, source: Source | None = None) -> None:
        self._source = source
        self._asked: set[tuple[Topic, str]] = set()
        self.teams = Names[str](self, "team")
        self.games = Names[KnownGame](self, "game")
        self.officials = Names[str](self, "official")
        self.players = Names[str](self, "player")
        self.statements = Names[str](self, "statement")
        self.chains = _Chains(self)
        self._rosters = Rosters()
        self._weights: dict[str, tuple[bool, Order]] = {}
        self._kickoffs: dict[str, dict[str, _Kickoff]] = defaultdict(dict)
        self._withdrawals: dict[str, set[str]] = defaultdict(set)

    def learn(self, stated: Stated, event: str, order: Order) -> None:
        """Learn one event or statement at its place in ledger order; repeats count once."""
        self._learn(Found(stated, event, order, list(topics_of(stated, event))))

    def _learn(self, found: Found) -> None:
        stated, event, order, topics = found
        data = stated.data
        for topic, name in topics:
            match topic:
                case "team":
                    self.teams.hold(name, event)
                case "official":
                    self.officials.hold(name, event)
                case "player":
                    self.players.hold(name, event)
                case "statement":
                    self.statements.hold(name, event)
                case "ref":
                    self.chains[event.rpartition(":")[0]].refs.hold(data["ref"], event)
                case "case":
                    self.chains[event.rpartition(":")[0]].cases.hold(data["case"], event)
                case "game":
                    weight = weight_of(stated, order)
                    if weight >= self._weights.get(name, weight):
                        self._weights[name] = weight
                        game = KnownGame(data["home"], data["visitor"], data["kickoff"])
                        self.games.hold(name, game)
                case "kickoffs":
                    change = _Kickoff(stated.entered or "", order, event, data["kickoff"])
                    self._kickoffs[name][event] = change
                case "withdrawals":
                    self._withdrawals[name].add(event)
                case "moves":
                    self._rosters.learn(stated, event, order)

    def ask(self, topic: Topic, names: Collection[str]) -> None:
        """Ask the source for names not asked for before."""
        if self._source is None:
            return
        fresh = [name for name in names if (topic, name) not in self._asked]
        if fresh:
            self._asked.update((topic, name) for name in fresh)
            for found in self._source.find(topic, fresh):
                self._learn(found)

    def ask_all(self, topic: Topic, chain: str) -> None:
        """Ask the source for every name of the topic."""
        if self._source is not None:
            for found in self._source.find_all(topic, chain):
                self._learn(found)

    def roster(self, team: str, game: str) -> dict[str, int | None]:
        """Return the team's players at the game's kickoff, each with a number or None.

        The kickoff comes from games.csv or the game change entered last. Withdrawn statements do
        not count.
        """
        self.ask("kickoffs", [game])
        self.ask("moves", [team])
        changes = self._kickoffs.get(game, {})
        gone = self._gone([*changes, *self._rosters.events(team)])
        standing = [change for change in changes.values() if change.event not in gone]
        kickoff = max(standing).kickoff if standing else self.games[game].kickoff
        return self._rosters.at(team, kickoff, gone)

    def _gone(self, ids: Iterable[str]) -> set[str]:
        """Return which of these events are withdrawn."""
        waiting, pairs = set(ids), []
        seen = set(waiting)
        while waiting:
            self.ask("withdrawals", waiting)
            more = [
                (one, target) for target in waiting for one in self._withdrawals.get(target, ())
            ]
            pairs += more
            waiting = {one for one, _ in more} - seen
            seen |= waiting
        return withdrawn(pairs)
