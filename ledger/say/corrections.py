"""A correction of tables in words: the rows, and the answers that change with them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ledger.derive.corrected import AnswersChanged, Changed
from ledger.errors import count_of
from ledger.say import codes
from ledger.say.changes import PHRASES
from ledger.say.clock import local_time
from ledger.say.lines import Line
from ledger.say.words import printable
from ledger.store.correcting import Correction, Corrections

SHOWN = 20
"""Lines of one list; a correction of the league's rules can change a whole season."""
_WHO = ("team", "player", "official", "side", "case")


def correction_lines(found: Corrections, answers: AnswersChanged, zone: str) -> list[Line]:
    """What a correction would record, and what follows, as text for a screen."""
    rows = found.rows
    lines = [Line(f"{count_of(len(rows), 'row')} to correct, for the whole season:")]
    for row in rows:
        lines.append(Line(_place(row), 2))
        lines += [
            Line(f"{one.column}: {printable(one.before)} becomes {printable(one.now)}", 4, 6)
            for one in row.changes
        ]
    if found.new_rows:
        which = count_of(found.new_rows, "new row is", "new rows are")
        lines.append(Line(f"{which} left for the next weighbook load."))
    return [*lines, Line(""), *_answer_lines(answers, zone)]


def _answer_lines(answers: AnswersChanged, zone: str) -> list[Line]:
    lists = (
        _list("game", answers.games, lambda one: _changed(one, zone)),
        _list("player", answers.players, lambda one: _changed(one, zone)),
        _list("finding", answers.gone, _finding, "no longer found"),
        _list("finding", answers.new, _finding, "new"),
    )
    lines = [line for lines in lists for line in lines]
    return [Line("Answers that change:"), *lines] if lines else [Line("No answer changes.")]


def _list(
    noun: str, items: Sequence[Any], say: Callable[[Any], str], which: str = ""
) -> list[Line]:
    if not items:
        return []
    lines = [Line(f"{count_of(len(items), noun)}{f', {which}' if which else ''}:", 2)]
    lines += [Line(say(one), 4, 6) for one in items[:SHOWN]]
    if len(items) > SHOWN:
        lines.append(Line(f"… and {len(items) - SHOWN:,} more", 4))
    return lines


def _place(row: Correction) -> str:
    stated = row.stated
    own = stated.player or stated.data.get("official") or stated.game or stated.team
    own = own or stated.data.get("division")
    where = f"{row.place.file}, line {row.place.line}" if row.place.line else row.place.file
    return f"{where} ({own})" if own else where


def _changed(one: Changed, zone: str) -> str:
    number = "" if one.number is None else f" {one.number}"
    who = f"{one.game} {one.team}{number} ({one.player})" if one.player else one.game
    if one.before is None or one.after is None:
        return f"{who}: {'new here' if one.before is None else 'no longer here'}"
    say = _words(zone)
    pairs = (
        f"{say[key](one.before[key])} becomes {say[key](one.after[key])}" for key in one.before
    )
    return f"{who}: {'; '.join(pairs)}"


def _words(zone: str) -> dict[str, Callable[[Any], str]]:
    return {
        **PHRASES,
        "kickoff_at": lambda value: local_time(value, zone),
        "site": lambda value: printable(value) if value else "no site",
        "required": lambda value: count_of(value, "play") + " required",
        "short": lambda value: "none missing" if value is None else f"{value} missing",
        "status": codes.STATUSES.__getitem__,
    }


def _finding(row: Mapping[str, Any]) -> str:
    who = " ".join(str(row[key]) for key in _WHO if row[key])
    return f"{row['game'] or 'Without a game'}{f' {who}' if who else ''}: {row['rule']}"
