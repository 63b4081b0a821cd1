"""Step 5: the audit's own reading of a list and of who may play and carry, in plain Python.

It follows sql/README.md, sections 1 to 5, and shares nothing with the SQL that made the rows. From
the events that a signature covers, in ledger order, it derives `rows` and `lines` of the content
that should have been signed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from ledger.audit.authority import Offices, rows_that_count
from ledger.chain.event import Event

_TAKES_PART = ("weigh", "late_weigh", "list", "plays")
_JOINS = {"player": True, "roster_add": True, "enter_player": True, "roster_drop": False}
_UNNAMED = ("absent", "equipment")

Moment = tuple[str, int]
Row = dict[str, Any]


class ListReading:
    """One team's list for one game, derived from these events."""

    def __init__(self, events: Sequence[Event], game: str, team: str) -> None:
        self.game, self.team = game, team
        self._place = {event.id: place for place, event in enumerate(events)}
        gone = withdrawn(events)
        self._set_up = rows_that_count(event for event in events if event.at is None)
        self._said = [e for e in events if e.at is not None and e.id not in gone]
        self._league = next(e.data for e in self._set_up if e.kind == "league")
        self._games = {e.game: e.data for e in self._set_up if e.kind == "game"}
        self._own = [e for e in self._said if (e.game, e.team) == (game, team)]
        self._offices = Offices(self._set_up, self._said, self._league)
        self._roster = self._roster_at(self._kickoff(game))
        halves = [e for e in self._said if (e.kind, e.game) == ("half", game)]
        first = [e for e in halves if e.data["half"] == 1]
        self._half = min(first, key=self._happened, default=None)

    def rows(self) -> list[Row]:
        """Return the team's rows of eligibility, in the answer's order."""
        players = {str(e.player) for e in self._own if e.kind in _TAKES_PART}
        rows = [self._row(player) for player in players | self._roster.keys()]
        return sorted(rows, key=_by_number)

    def lines(self) -> list[Row]:
        """Return the lines of the list, in the paper's order."""
        lines = [e for e in self._own if e.kind == "list"]
        lines.sort(key=lambda e: (*_by_number(self._who(str(e.player))), self._place[e.id]))
        return [
            self._who(str(line.player))
            | {"event": line.id, "reason": line.data["reason"], "at": line.at, "by": line.by}
            | {"struck": _brief(self._struck(line))}
            for line in lines
        ]

    def _row(self, player: str) -> Row:
        own = [e for e in self._own if e.player == player]
        weighs = sorted((e for e in own if e.kind in _TAKES_PART[:2]), key=self._happened)
        first, counts = next(iter(weighs), None), self._counting(weighs)
        standing = [e for e in own if e.kind == "list" and self._struck(e) is None]
        listed = sorted({e.data["reason"] for e in standing})
        is_book = counts is not None and counts.data["value"] == "no_scale"
        mark = self._mark(player) if is_book else None
        after_half = bool(first and self._half and _at(self._half) < _at(first))
        rests_on = [first, counts, mark, *standing, self._half if after_half else None]
        skips = self._league["weigh_in"].get("declared_over_may_skip_scale", False)
        if first is None or counts is None:
            is_declared = skips and "over" in listed
            plays, carries = ("full" if is_declared else "none"), "no"
            basis = "declared" if is_declared else "none"
        else:
            plays = self._plays(first, after_half=after_half)
            value = counts.data["value"]
            value = (mark.data["value"] if mark else "unknown") if is_book else value
            carries = {"ok": "yes", "over": "no"}.get(value, "undecided")
            by_scale = "scale" if counts.kind == "weigh" else "late_scale"
            basis = "book" if is_book else by_scale
        ruled = {key: self._ruling(player, key) for key in ("may_play", "may_carry")}
        plays = ruled["may_play"].data["may_play"] if ruled["may_play"] else plays
        carries = ruled["may_carry"].data["may_carry"] if ruled["may_carry"] else carries
        ids = {e.id for e in (*rests_on, *ruled.values()) if e is not None}
        return self._who(player) | {
            "game": self.game,
            "team": self.team,
            "may_play": plays,
            "may_carry": "no" if plays == "none" else carries,
            "basis": "ruling" if any(ruled.values()) else basis,
            "listed": listed,
            "events": sorted(ids, key=self._place.__getitem__),
        }

    def _counting(self, weighs: Sequence[Event]) -> Event | None:
        """Return the weigh-in that counts (W, else P, of sql/README.md)."""
        scale = [e for e in weighs if e.data["value"] in ("ok", "over")]
        tried = scale[: self._league["weigh_in"]["attempts"]]
        ok = [e for e in tried if e.data["value"] == "ok"]
        return next(iter(ok or scale or weighs), None)

    def _plays(self, first: Event, *, after_half: bool) -> str:
        if first.kind == "weigh":
            return "full"
        late = str(self._league["weigh_in"]["late_players"])
        return "none" if after_half else {"whole_game": "full"}.get(late, late)

    def _mark(self, player: str) -> Event | None:
        division, kickoff = self._games[self.game]["division"], self._kickoff(self.game)
        marks = [
            e
            for e in self._said
            if (e.kind, e.player) == ("initial", player)
            and self._games[e.game]["division"] == division
            and self._kickoff(str(e.game)) < kickoff
        ]
        return min(marks, key=self._happened, default=None)

    def _ruling(self, player: str, key: str) -> Event | None:
        rulings = [
            e
            for e in self._own
            if (e.kind, e.player) == ("ruling", player)
            and key in e.data
            and self._offices.may_rule(e)
        ]
        return max(rulings, key=self._entered, default=None)

    def _struck(self, line: Event) -> Event | None:
        since = [
            e
            for e in self._own
            if e.kind == "strike_off"
            and strikes_off(e, line)
            and self._happened(e) > self._happened(line)
        ]
        return min(since, key=self._happened, default=None)

    def _who(self, player: str) -> Row:
        """Return the player with the number on the roster at kickoff, else the first entered."""
        number = self._roster.get(player)
        if player not in self._roster:
            own = sorted((e for e in self._own if e.player == player), key=self._happened)
            number = next((e.data["number"] for e in own if "number" in e.data), None)
        return {"player": player, "number": number}

    def _roster_at(self, moment: str) -> dict[str, int | None]:
        moves = [
            e
            for e in (*self._set_up, *self._said)
            if e.team == self.team
            and (e.kind in _JOINS or e.kind == "number_change")
            and _at(e) <= moment
        ]
        on: dict[str, bool] = {}
        numbers: dict[str, int] = {}
        for move in sorted(moves, key=self._happened):
            player = str(move.player)
            on[player] = _JOINS.get(move.kind, on.get(player, False))
            if move.kind != "roster_drop" and "number" in move.data:
                numbers[player] = move.data["number"]
        return {player: numbers.get(player) for player, is_on in on.items() if is_on}

    def _kickoff(self, game: str) -> str:
        moved = [
            e
            for e in self._said
            if (e.kind, e.game) == ("game_change", game) and "kickoff" in e.data
        ]
        latest = max(moved, key=self._entered, default=None)
        return str((latest.data if latest else self._games[game])["kickoff"])

    def _happened(self, event: Event) -> Moment:
        return _at(event), self._place[event.id]

    def _entered(self, event: Event) -> Moment:
        return event.entered or "", self._place[event.id]


def withdrawn(events: Iterable[Event]) -> set[str]:
    """Return the ids that do not count. A withdrawal counts unless a withdrawal of it counts."""
    takers: dict[str, list[str]] = {}
    for event in events:
        if event.kind == "withdraw":
            takers.setdefault(str(event.data.get("target")), []).append(event.id)
    gone: dict[str, bool] = {}
    waiting = list(takers)
    while waiting:  # no recursion: withdrawals may be a thousand deep
        one = waiting[-1]
        asked = [taker for taker in takers.get(one, ()) if taker not in gone]
        gone.setdefault(one, True)  # in a circle, the first one does not count
        waiting += asked
        if not asked:
            gone[one] = any(not gone[taker] for taker in takers.get(one, ()))
            waiting.pop()
    return {target for target, is_gone in gone.items() if is_gone}


def _at(event: Event) -> str:
    return event.at or ""


def _brief(strike: Event | None) -> Row | None:
    return {"event": strike.id, "at": strike.at, "by": strike.by} if strike else None


def strikes_off(strike: Event, line: Event) -> bool:
    """Whether the strike-off is for the line's player and reason; times are not compared."""
    reason = strike.data.get("reason")
    reasons = _UNNAMED if reason is None else (reason,)
    return strike.player == line.player and line.data.get("reason") in reasons


def _by_number(row: Row) -> tuple[bool, int, str]:
    return row["number"] is None, row["number"] or 0, row["player"]
