"""The few statements of a packet that tell its story: what decides, what was signed, asked, ruled.

Statements of one kind by one official on one day are told in one line; so are a weigh and its mark
in the book, and plays, no matter who counted them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.record.kinds import ROSTER_CHANGES, WEIGHS
from ledger.review.packet import Packet
from ledger.review.timeline import TimelineEntry

MOST_MOMENTS, MOST_TOLD = 5, 3
"""Lines on a first page; statements in a line. Both numbers are ours."""
_CASE, _DECIDES, _FOUND, _ON_LIST, _SAID, _SIGNED, _AROUND = range(7)
_SCALE = ("scale_out", "game_off")
_OF_LIMITS = ("limit_moved", "limit_wrong")
_LISTED = ("list", "strike_off")
_TOGETHER = dict.fromkeys(ROSTER_CHANGES, "roster") | {"initial": "weigh"}


@dataclass(frozen=True)
class Told:
    """A moment of the story: its first statements, and how many more of the kind there are."""

    entries: tuple[TimelineEntry, ...]
    more: int


def choose_story(packet: Packet) -> tuple[Told, ...]:
    """The moments, in the order in which they happened."""
    ranked = _Ranks(packet)
    moments: dict[tuple[str, str, str], list[TimelineEntry]] = {}
    for shown in _without_earlier_counts(packet.timeline):
        one = shown.statement
        if one.stands and ranked.of(shown) is not None:
            by = "" if one.kind == "plays" else one.by
            kind = _TOGETHER.get(one.kind, one.kind)
            moments.setdefault((kind, by, one.happened[:10]), []).append(shown)
    chosen = sorted(moments.values(), key=ranked.best)[:MOST_MOMENTS]
    chosen.sort(key=lambda told: (told[0].statement.happened, told[0].statement.position))
    return tuple(Told(tuple(told[:MOST_TOLD]), max(0, len(told) - MOST_TOLD)) for told in chosen)


def _without_earlier_counts(timeline: Sequence[TimelineEntry]) -> list[TimelineEntry]:
    """The timeline with the latest count only of a player's plays in a half."""
    found: dict[tuple[object, ...], TimelineEntry] = {}
    for shown in timeline:
        one = shown.statement
        key: tuple[object, ...] = (one.event,)
        if one.kind == "plays" and one.stands:
            key = (one.game, one.team, one.player, one.says["half"])
            found.pop(key, None)
        found[key] = shown
    return list(found.values())


class _Ranks:
    """How much a statement says about the question; the lowest rank is told first."""

    def __init__(self, packet: Packet) -> None:
        asked = [row for table in packet.compared for row in table.rows if row.is_asked and row.now]
        self._asked = packet.asked
        self._games = {game["game"] for game in packet.games}
        self._is_of_plays = packet.case.reason in ("plays", "protest")
        self._is_of_roster = packet.case.reason == "roster"
        without_scale = [
            one.statement
            for one in packet.timeline
            if one.statement.player in packet.asked
            and one.statement.says.get("value") == "no_scale"
        ]
        self._told_by_weigh = {(one.game, one.by) for one in without_scale}
        self._came = {one.game: one.happened for one in without_scale}
        self._decides = {event for row in asked if row.now for event in row.now["events"]}
        self._found = {
            event
            for row in packet.case.findings
            for event in row["events"]
            if row["case"] is None and (row["player"] in packet.asked or not packet.asked)
        }
        self._limits = {
            event
            for row in packet.case.findings
            if row["rule"] in _OF_LIMITS and row["game"] in self._games
            for event in row["events"]
        }
        self._counting = {one.event_id for one in packet.case.timeline if one.has_authority}
        self._weighs_told = self._games | {
            one.game
            for one in (shown.statement for shown in packet.timeline)
            if one.event in self._decides and one.kind == "initial"
        }
        signed = [one for one in packet.timeline if one.statement.kind == "countersign"]
        self._signed = signed[0].statement.event if signed else ""
        rulings = [one for one in packet.timeline if one.statement.event in self._counting]
        self._is_ruled = bool(rulings)

    def of(self, shown: TimelineEntry) -> int | None:
        """The rank; None for a statement that tells nothing of the question."""
        one = shown.statement
        if one.kind == "ruling" and shown.is_own:
            # The page has a line of its own for a ruling that does not count.
            return _CASE if one.event in self._counting else None
        if one.kind == "case_open" and shown.is_own:
            return _CASE
        if one.kind == "case_close":
            return None if self._is_ruled else _CASE
        if one.kind == "case_exhibit":  # the page lists them
            return None
        if one.kind == "scale_out" and (one.game, one.by) in self._told_by_weigh:
            return _SIGNED
        if one.kind in _SCALE:
            return _FOUND if one.game in self._weighs_told else None
        if one.event in self._limits:
            return _FOUND
        if one.kind == "station" and one.happened > self._came.get(one.game, one.happened):
            return _FOUND  # the scale that was out of use was set after all
        if self._is_of_roster and one.kind in ROSTER_CHANGES:
            return _DECIDES
        if self._is_of_roster and one.kind == "plays":
            return _AROUND
        if one.event in self._decides and one.kind not in _LISTED:
            return _DECIDES
        is_near = one.game is None or one.game in self._weighs_told
        if one.event in self._found and is_near and self._is_ours(one.player):
            if one.kind in _LISTED:
                return _ON_LIST
            return _DECIDES if one.kind == "plays" and self._is_of_plays else _FOUND
        if one.event in self._decides:
            return _ON_LIST
        if one.player in self._asked and one.kind in WEIGHS and one.game in self._weighs_told:
            return _FOUND
        if one.event == self._signed:
            return _SIGNED
        if one.kind == "case_statement" and shown.is_own:
            return _SAID
        return _AROUND if shown.is_own else None

    def _is_ours(self, player: str | None) -> bool:
        return player is None or player in self._asked or not self._asked

    def best(self, told: Sequence[TimelineEntry]) -> tuple[int, str, int]:
        return min(self._key(shown) for shown in told)

    def _key(self, shown: TimelineEntry) -> tuple[int, str, int]:
        rank = self.of(shown)
        return (
            _AROUND if rank is None else rank,
            shown.statement.happened,
            shown.statement.position,
        )
