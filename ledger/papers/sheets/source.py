"""What papers share: names, local times and the ledger's head; and more about one game."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import timedelta
from functools import cached_property
from typing import Any, TypedDict, Unpack

from ledger.chain.event import Event
from ledger.derive.asked import not_held_yet, refuse_no_side
from ledger.derive.called_off import called_off
from ledger.derive.engine import Engine
from ledger.derive.scope import read_game
from ledger.derive.signatures import Signatures
from ledger.derive.signed_list import RULES
from ledger.papers.press.attachment import Attachment
from ledger.papers.press.heads import Heads
from ledger.papers.press.letters import printable_name
from ledger.papers.press.sealing import seal
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead
from ledger.record.corrections import rows_that_count
from ledger.record.later_keys import with_later_keys
from ledger.record.times import format_utc, local_date, moment_of
from ledger.say.clock import (
    clock_beside,
    game_day,
    local_clock,
    local_time,
    plain_date,
    without_zone,
)
from ledger.say.lists import called_off as called_off_words
from ledger.say.moments import as_of_note
from ledger.say.names import Names
from ledger.say.words import unbroken


class Moments(TypedDict, total=False):
    """The moments that a paper can be asked for, as UTC text."""

    as_of: str | None
    known_at: str | None


class LeagueSource:
    """A league's setup and some events, ready for a paper.

    `events` include the league, and the teams, divisions and officials that the paper names. The
    checkpoint is of `chain` (default: the chain of the last event).
    """

    def __init__(
        self,
        heads: Heads,
        events: Sequence[Event],
        chain: str | None = None,
        **moments: Unpack[Moments],
    ) -> None:
        self.store = heads.store
        self.heads = heads
        self.as_of, self.known_at = moments.get("as_of"), moments.get("known_at")
        self._chain = chain or events[-1].chain
        events = rows_that_count(events, as_of=self.as_of, known_at=self.known_at)
        self.names = Names(
            heads.store,
            events,
            printable_name,
            as_of=self.as_of,
            known_at=self.known_at,
        )
        self.league: dict[str, Any] = {}
        self.divisions: dict[str, dict[str, Any]] = {}
        self._teams: dict[str, dict[str, Any]] = {}
        self._scheduled: dict[str, str] = {}
        for event in events:
            data = dict(event.data)
            if event.kind == "league":
                self.league = with_later_keys(data)
            elif event.kind == "team" and event.team:
                self._teams[event.team] = data
            elif event.kind == "division":
                self.divisions[data["division"]] = data
            elif event.kind == "game" and event.game:
                self._scheduled[event.game] = data["kickoff"]
        self.zone: str = self.league["time_zone"]

    def head(self, **of_game: Any) -> PaperHead:
        """The league and the state of the ledger; `of_game` are more fields of PaperHead."""
        until = self.league["privacy"]["keep_personal_until"]
        end = self.heads.of(self._chain)
        return PaperHead(
            league=self.league["name"],
            season=self.league["season"],
            zone=self.zone,
            head_id=end.id,
            head_hash=end.hash,
            printed_at=self.time(self.heads.printed_at),
            has_print_time=self.heads.printed_at != self.heads.stamp,
            rules=RULES,
            as_of=self.time(self.as_of),
            known_at=self.time(self.known_at),
            keep_until=plain_date(until) if until else "",
            **of_game,
        )

    def sheet(
        self,
        document: str,
        paper: Any,
        *files: Attachment,
        list_number: str = "",
        **arguments: str | bool,
    ) -> Sheet:
        """The paper with these files, its checkpoint and its paper.json attached.

        `paper` is a context with a head. `arguments` are its maker's (`documents`), without the
        moments.
        """
        moments = {"as_of": self.as_of, "known_at": self.known_at}
        given = arguments | {name: time for name, time in moments.items() if time is not None}
        return seal(self.heads, self._chain, document, paper, files, given, list_number)

    @property
    def today(self) -> str:
        """The local date of the moment that the paper shows."""
        return local_date(self.as_of or self.known_at or self.heads.printed_at, self.zone)

    def time(self, utc: str | None) -> str:
        """The local date and time; "" for none."""
        return local_time(utc, self.zone) if utc else ""

    def team_name(self, team: str) -> str:
        return str(self._teams[team]["name"])

    def division_of(self, team: str) -> dict[str, Any]:
        """The data of the team's division."""
        return self.divisions[self._teams[team]["division"]]

    def of_game(self, game: Mapping[str, Any]) -> dict[str, Any]:
        """What a head says about a game; `game` is its row of sql/staging/game.sql."""
        return {
            "division": self.divisions[game["division"]]["name"],
            "game": game["game"],
            "kickoff": self._kickoff(game),
            "site": game["site"] or "",
            "home": self.team_name(game["home"]),
            "visitor": self.team_name(game["visitor"]),
            "is_off": bool(game["is_off"]),
        }

    def _kickoff(self, game: Mapping[str, Any]) -> str:
        """ "Sat, Sep 19, 2026, 2:30 PM CDT (was 9:00 AM)"."""
        kickoff = game["kickoff_at"]
        was = self._scheduled.get(game["game"], kickoff)
        if was == kickoff:
            return self.time(kickoff)
        moved = f"(was {clock_beside(kickoff, was, self.zone)})"
        return f"{self.time(kickoff)} {unbroken(moved)}"


class GameSource(LeagueSource):
    """A game's events, ready for a paper; its chain is the one with most of them.

    Raises InputError for an unknown game.
    """

    def __init__(self, heads: Heads, game: str, **moments: Unpack[Moments]) -> None:
        self.stored = read_game(heads.store, game, **moments)
        events = [one.event for one in self.stored]
        chain = Counter(one.chain for one in events if one.game == game).most_common(1)[0][0]
        super().__init__(heads, events, chain, **moments)
        self.engine = Engine(self.stored, **moments)
        self.game = game
        rows = [row for row in self.engine.answer("game").dicts() if row["game"] == game]
        if not rows:
            held = next(e.recorded for e in events if (e.kind, e.game) == ("game", game))
            raise not_held_yet(game, self.time(held))
        self._game = rows[0]

    @property
    def sides(self) -> tuple[str, str]:
        """The visitors, then the home team."""
        return self._game["visitor"], self._game["home"]

    def head(self, **more: Any) -> PaperHead:
        """The game and the state of the ledger."""
        if off := self.called_off:
            roles = [
                row
                for row in self.engine.answer("role").dicts()
                if row["official"] == off["stated_by"] and row["game"] in (None, self.game)
            ]
            by, at = self.names.of(off["stated_by"]), self.clock(off["happened_at"])
            more["off"] = called_off_words(by, [row["role"] for row in roles], at)
        if self.as_of:
            more["held_later"] = as_of_note(self.stored, self.as_of, self.game, self.zone)
        return super().head(**self.of_game(self._game), **more)

    def opponents_of(self, team: str) -> str:
        """The other side; InputError if the team does not play in the game."""
        visitor, home = self.sides
        refuse_no_side(self.game, team, self.sides)
        return home if team == visitor else visitor

    @cached_property
    def called_off(self) -> dict[str, Any] | None:
        """The statement that called the game off, the first one entered; None if it is played."""
        return called_off(self.engine, self.game) if self._game["is_off"] else None

    @cached_property
    def signatures(self) -> Signatures:
        """The signatures to the game's lists, each with what has changed since."""
        return Signatures(self.engine, self.stored)

    def clock(self, utc: str | None) -> str:
        """The local time, with the date if it is not the day of the game, and the zone if it is not
        that of the kickoff; "" for none.
        """
        return clock_beside(self._game["kickoff_at"], utc, self.zone) if utc else ""

    def date_and_clock(self, utc: str) -> str:
        """The local date and time, with the zone if it is not that of the kickoff."""
        said = self.time(utc)
        return without_zone(self._game["kickoff_at"], utc, said, self.zone)

    @property
    def day(self) -> str:
        """The local day of kickoff, without the year."""
        return game_day(self._game["kickoff_at"], self.zone)

    @property
    def local_date(self) -> str:
        """The local date of kickoff, by which the limit goes."""
        return local_date(self._game["kickoff_at"], self.zone)

    def before_kickoff(self, minutes: int) -> str:
        """The local time this many minutes before kickoff."""
        return local_clock(self.minutes_before_kickoff(minutes), self.zone)

    def minutes_before_kickoff(self, minutes: int) -> str:
        """The moment this many minutes before kickoff, in UTC."""
        return format_utc(moment_of(self._game["kickoff_at"]) - timedelta(minutes=minutes))
