"""What was entered after a list was signed, in words: each change, and each statement behind it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import partial
from typing import Any

from ledger.derive.signatures import Changed, SignedList
from ledger.derive.statements import Statement
from ledger.say import codes, stated
from ledger.say.clock import local_time
from ledger.say.corrected_rows import corrected, correction_content
from ledger.say.signing import who
from ledger.say.stated import NameOf
from ledger.say.words import upper_first

Clock = Callable[[str], str]
_NOT_KEPT = "the ledger has no copy of what was signed"
_ON_SHEET = "signed in ink: compare with the signed sheet"


@dataclass(frozen=True, slots=True)
class Since:
    """A change after signatures about one player: a sentence, and each statement.

    `note` says why the sentence does not have what was signed, where a paper says it once.
    """

    text: str
    statements: tuple[str, ...]
    note: str = ""


def since(
    signatures: Iterable[SignedList],
    zone: str,
    name_of: NameOf,
    *,
    player: str | None = None,
    recorded: str = "",
    clock: Clock | None = None,
    struck: Mapping[str, Sequence[str]] | None = None,
    is_on_list: bool = False,
) -> tuple[Since, ...]:
    """The changes after signatures to a list, each once; only those of `player` if given.

    A signature that keeps what was signed goes before one that does not. `recorded` is the local
    time of recording that is told elsewhere, so no statement repeats it. `clock` tells the times of
    a paper that has the date. `struck` are the reasons of the lines that a strike-off struck, by
    its id. `is_on_list`: late arrivals stand elsewhere, so plain ones are left out,
    and a note tells once why nothing is known of what was signed.
    """
    telling = _Telling(
        zone, name_of, clock or partial(local_time, zone_name=zone), recorded, struck, is_on_list
    )
    found: dict[tuple[object, ...], tuple[Changed, str]] = {}
    for signed in signatures:
        for one in signed.changes:
            key = (one.player, *(statement.event for statement in one.statements))
            if key not in found or not found[key][0].is_kept:
                found[key] = (one, signed.row["how"])
    return tuple(
        _since(one, how, telling)
        for one, how in found.values()
        if player in (None, one.player) and not (is_on_list and _is_plain_arrival(one))
    )


def _is_plain_arrival(changed: Changed) -> bool:
    return changed.is_late_arrival and not any(
        stated.lateness(asdict(one)) for one in changed.statements
    )


def taken_back(
    pairs: Iterable[tuple[Statement, Statement]],
    zone: str,
    name_of: NameOf,
    *,
    clock: Clock | None = None,
) -> tuple[Since, ...]:
    """Withdrawn signatures, each with the statement that withdrew it; `clock` as in `since`."""
    telling = _Telling(zone, name_of, clock or partial(local_time, zone_name=zone))
    return tuple(
        Since(
            f"A signature was withdrawn: {name_of(signed.by)}, "
            f"{telling.clock(signed.happened)} ({signed.event}).",
            (_stated(withdrawal, False, telling),),
        )
        for signed, withdrawal in pairs
    )


def mostly_recorded(signatures: Iterable[SignedList], zone: str) -> str:
    """The local time when most changes after these signatures were recorded; "" if no two agree."""
    changes = {
        statement.event: local_time(statement.recorded, zone)
        for signed in signatures
        for one in signed.changes
        for statement in one.statements
    }
    times = Counter(changes.values()).most_common(1)
    return times[0][0] if times and times[0][1] > 1 else ""


@dataclass(frozen=True, slots=True)
class _Telling:
    """How statements are told; the fields as in `since`."""

    zone: str
    name_of: NameOf
    clock: Clock
    recorded: str = ""
    struck: Mapping[str, Sequence[str]] | None = None
    is_on_list: bool = False


def _since(changed: Changed, how: str, telling: _Telling) -> Since:
    late = changed.is_late_arrival
    stated = tuple(_stated(statement, late, telling) for statement in changed.statements)
    if late:
        return Since(f"{who(changed)}: late arrival.", stated)
    unknown = _ON_SHEET if how == "sheet" else _NOT_KEPT
    then = f"signed as: {_row(changed.before)}" if changed.is_kept else unknown
    now = _row(changed.after)
    is_noted = telling.is_on_list and not changed.is_kept
    text = f"{who(changed)} now: {now}." if is_noted else f"{who(changed)}: {then}. Now: {now}."
    stated += tuple(
        corrected(correction_content(one, telling.name_of), telling.zone)
        for one in changed.corrections
    )
    note = f"{upper_first(unknown)}." if is_noted else ""
    return Since(text, stated or ("No statement explains it: run weighbook audit.",), note)


def _row(row: Mapping[str, Any] | None) -> str:
    return "not on this list" if row is None else codes.row(row)


def _stated(statement: Statement, is_late_arrival: bool, telling: _Telling) -> str:
    struck = (telling.struck or {}).get(statement.event, ())
    what = stated.what(statement, telling.zone, struck=struck)
    said = f"{what}, by {telling.name_of(statement.by)}"
    if is_late_arrival and not statement.is_late:
        return f"{said}, {telling.clock(statement.happened)}."
    said += f". Written down {telling.clock(statement.entered)}"
    if local_time(statement.recorded, telling.zone) == telling.recorded:
        return f"{said}."
    return f"{said}; recorded {telling.clock(statement.recorded)}."
