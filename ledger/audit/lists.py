"""Step 5: every signed list against what the signature covers, read again in plain Python.

A signature of form 2 keeps what was signed. Five things must hold: (a) its number fits its content;
(b) the content is of its own game and team; (c) it covers every event that it names; the covered
events give (d) the lines and (e) the rows (`ledger.audit.eligibility`). If other rules than ours
made the rows, a difference is only a note. In a chain, a signature of form 1 never comes after one
of form 2. Form 1 keeps only the number: `ledger.audit.form_1`.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from hashlib import sha256
from typing import Any

from ledger.audit.eligibility import ListReading
from ledger.audit.form_1 import Lists
from ledger.audit.report import Judged, Problem, Step
from ledger.audit.rows import Placed, ledger_order, read_games, read_kinds
from ledger.audit.signatures import is_signed
from ledger.chain.canonical import canonical
from ledger.chain.event import Event, place_of
from ledger.chain.others import Covered, covered_by
from ledger.errors import InputError

FORM, RULES = 2, "1"
_FORM_1 = ("list", "strike_off", "withdraw", "countersign")
_EVERYWHERE = ("league", "game", "game_change", "player", "roster_add", "roster_drop",
               "number_change", "enter_player", "official", "appoint", "case_open", "initial",
               "withdraw")  # fmt: skip


def check_lists(
    connection: sqlite3.Connection, signatures: Sequence[Event], judged: Judged, step: Step
) -> None:
    """Compare each signed list and add the findings to `step`; skip events in `judged`."""
    signed = [e for e in signatures if is_signed(e) and (e.chain, e.seq) not in judged]
    second = [e for e in signed if e.data.get("form") == FORM]
    step.add(_check_forms(signed))
    if any("form" not in e.data for e in signed):
        step.add(_check_form_1(read_kinds(connection, _FORM_1), judged))
    if second:
        material = _Material(connection, {str(e.game) for e in second})
        for event in second:
            step.add(_check(event, material, step.notes))


class _Material:
    """The events that lists can depend on, each read once, in ledger order."""

    def __init__(self, connection: sqlite3.Connection, games: set[str]) -> None:
        found = {p.event.id: p for p in read_kinds(connection, _EVERYWHERE)}
        found |= {p.event.id: p for p in read_games(connection, sorted(games))}
        placed = sorted(found.values(), key=ledger_order)
        self._everywhere = [p.event for p in placed if p.event.kind in _EVERYWHERE]
        self._of_game: dict[str | None, list[Event]] = {}
        for p in placed:
            if p.event.kind not in _EVERYWHERE:
                self._of_game.setdefault(p.event.game, []).append(p.event)
        self._place = {p.event.id: place for place, p in enumerate(placed)}

    def covered(self, game: str, covered: Covered) -> list[Event]:
        """Return, in ledger order, the events that a signature for that game covers."""
        there = [*self._everywhere, *self._of_game.get(game, ())]
        there = [event for event in there if covered.covers(event.chain, event.seq)]
        return sorted(there, key=lambda event: self._place[event.id])


def _check(event: Event, material: _Material, notes: list[str]) -> Iterator[Problem]:
    try:
        content = event.data["shown"]
        covered = covered_by(event)
        number = sha256(canonical(content)).hexdigest()
        game, team, rows, lines = (content[key] for key in ("game", "team", "rows", "lines"))
        named = _named(rows, lines)
    except (InputError, KeyError, TypeError, ValueError, AttributeError):
        yield _differs(event, "keeps no list that can be read")
        return
    if number != event.data.get("list"):
        yield _differs(event, "has another number than the list kept with it")
    if (game, team) != (event.game, event.team):
        yield _differs(event, "keeps the list of another game or team")
        return
    if beyond := sorted(one for one in named if not covered.covers(*place_of(one))):
        what = f"keeps a list that names {', '.join(beyond)}, which it does not cover"
        yield _differs(event, what)
    try:
        reading = ListReading(material.covered(game, covered), game, team)
        ours = reading.lines(), reading.rows()
    except (KeyError, StopIteration, TypeError):
        yield _differs(event, "covers events that give no list")
        return
    if lines != ours[0]:
        yield _differs(event, "keeps lines that differ from those its events give")
    if rows != ours[1]:
        where = _first_difference(rows, ours[1])
        what = f"keeps rows that differ from those its events give{where}"
        if event.data.get("rules") == RULES:
            yield _differs(event, what)
        else:
            notes.append(f"{event.id} {what}, under other rules than these")


def _named(rows: Iterable[Mapping[str, Any]], lines: Iterable[Mapping[str, Any]]) -> set[str]:
    named = {one for row in rows for one in row["events"]}
    for line in lines:
        named |= {line["event"], *([line["struck"]["event"]] if line["struck"] else ())}
    for one in named:
        place_of(one)
    return named


def _first_difference(rows: Sequence[Mapping[str, Any]], ours: Sequence[Mapping[str, Any]]) -> str:
    """Return " (player k12)" for the first row that differs."""
    theirs = {row.get("player"): row for row in rows}
    mine = {row["player"]: row for row in ours}
    for player in sorted(mine.keys() | theirs.keys(), key=str):
        if mine.get(player) != theirs.get(player):
            return f" (player {player})"
    return " (their order)"


def _check_forms(signed: Sequence[Event]) -> Iterator[Problem]:
    since: dict[str, int] = {}
    for event in sorted(signed, key=lambda e: (e.chain, e.seq)):
        form = event.data.get("form", 1)
        if form == FORM:
            since.setdefault(event.chain, event.seq)
        elif form != 1 or "form" in event.data:
            yield _differs(event, "is of a form this program does not know; update weighbook")
        elif event.chain in since:
            what = f"is of form 1, after one of form 2 ({event.chain}:{since[event.chain]})"
            yield _differs(event, what)


def _check_form_1(events: Iterable[Placed], judged: Judged) -> Iterator[Problem]:
    """Compare each signed number; `events` are in the order of acceptance."""
    lists = Lists()
    for placed in events:
        event = placed.event
        if event.kind != "countersign":
            lists.learn(placed)
            continue
        if (event.chain, event.seq) in judged or not is_signed(event) or "form" in event.data:
            continue
        if lists.digest(event.game, event.team) != event.data.get("list"):
            yield _differs(event, f"is not for the list that {event.team} had then")


def _differs(event: Event, what: str) -> Problem:
    return Problem.of_event(event, "list differs", f"the signature of {event.by} {what}")
