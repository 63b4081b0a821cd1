"""What a filled-in line of a paper's sheet says, as entries (cells of day files)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from ledger.errors import Fault
from ledger.record.paper_sheet import (
    AT_SCALE,
    CHECK,
    CLOSED,
    COLUMNS,
    FIRST_HALF,
    OUT,
    SECOND_HALF,
    SheetLine,
)

Clock = Callable[[str, str], str]
"""UTC text of what was typed as a time of this game; ValueError says what to type."""
_NO_TIME = "the time on the paper, or --time for every line without one"
_HALVES = {FIRST_HALF: "1", SECOND_HALF: "2"}
_BOOK = {"ok", "over"}


@dataclass(frozen=True)
class Typing:
    """What holds for the whole sheet: who and when, where a line does not say.

    `initials` maps initials on the paper to officials; `time` is as typed, "" for none.
    """

    by: str
    clock: Clock
    initials: Mapping[str, str]
    time: str = ""


@dataclass(frozen=True)
class PaperEntry:
    """An entry, and the line it is from."""

    line: SheetLine
    cells: dict[str, str]


def entries_of(lines: list[SheetLine], typing: Typing) -> tuple[list[PaperEntry], list[Fault]]:
    """The entries of a sheet by time, those of one time in the order of its lines; and faults."""
    entries: list[PaperEntry] = []
    faults: list[Fault] = []
    closed = {
        (line["game"], line["team"]): line["time"]
        for line in lines
        if line.label == CLOSED and line["time"]
    }
    for line in lines:
        if line.is_filled:
            at_close = closed.get((line["game"], line["team"]), "")
            found, more = _of_line(line, typing, at_close)
            entries += found
            faults += more
    return sorted(entries, key=lambda entry: entry.cells["at"]), faults


def _of_line(line: SheetLine, typing: Typing, closed: str) -> tuple[list[PaperEntry], list[Fault]]:
    faults: list[Fault] = []

    def at(typed: str) -> str:
        try:
            return typing.clock(line["game"], typed)
        except ValueError as error:
            faults.append(line.fault("time", f"'{typed}'" if typed else "nothing", str(error)))
            return ""

    by = line["by"] or typing.initials.get(line["initials"].casefold(), typing.by)
    about = {"game": line["game"], "by": by, "note": line["note"]}
    if line.label:
        cells, more = _of_label(line)
        time = at(line["time"] or typing.time) if line["time"] or typing.time else ""
        if not time and not faults:
            more.append(line.fault("time", "nothing", _NO_TIME))
        found = [about | cells | {"at": time}]
    else:
        own = about | {"team": line["team"], "player": line["line"], "number": line["number"]}
        own |= {} if line["line"] else {"name": line["name"]}
        found, more = _of_player(line, own)
        only_listed = all(cells["kind"] == "list" for cells in found)
        typed = line["time"] or (closed if only_listed else "") or typing.time
        if typed:
            time = at(typed)
        else:
            time = ""
            more.append(line.fault("time", "nothing", _NO_TIME))
        before = at(closed) if closed and not only_listed else time
        found = [
            # Absent at the close, and weighed later: the list had the player from the close on.
            cells | {"at": min(before, time) if cells.get("reason") in _MISSED else time}
            if cells["kind"] == "list"
            else cells | {"at": time}
            for cells in found
        ]
    faults += more
    if faults:
        return [], faults
    # A note belongs to the line's first entry; the others say the same of the same player.
    for cells in found[1:]:
        cells.pop("note", None)
    return [PaperEntry(line, {k: v for k, v in one.items() if v}) for one in found], []


_MISSED = ("absent", "equipment")
_LISTED = {"absent": "absent", "injured": "injured", "gear": "equipment", "other": "other"}


def _of_player(line: SheetLine, own: dict[str, str]) -> tuple[list[dict[str, str]], list[Fault]]:
    faults: list[Fault] = []
    values = [value for value in ("ok", "over", "no_scale") if line.marked(value)]
    if len(values) > 1:
        names = " and ".join(COLUMNS[value] for value in values)
        faults.append(line.fault(values[1], names, "one of ok, over, no scale"))
    if line.marked("late") and not values:
        faults.append(line.fault("late", "late alone", "ok, over or no scale beside it"))
    found: list[dict[str, str]] = []
    reasons = [reason for box, reason in _LISTED.items() if line.marked(box)]
    found += [own | {"kind": "list", "reason": reason} for reason in reasons]
    if values:
        kind = "late_weigh" if line.marked("late") else "weigh"
        found.append(own | {"kind": kind, "value": values[0]})
        missed = [reason for reason in reasons if reason in _MISSED]
        found += [own | {"kind": "strike_off", "reason": reason} for reason in missed]
    if "over" in values:
        found.append(own | {"kind": "list", "reason": "over"})
    if line.marked("taped"):
        found.append(own | {"kind": "stripe"})
    if line.marked("book"):
        found += _book(line, own, values, faults)
    if not found and not faults:
        faults.append(line.fault("ok", "no mark", "a mark, or the line left empty"))
    return found, faults


def _book(
    line: SheetLine, own: dict[str, str], values: list[str], faults: list[Fault]
) -> Iterator[dict[str, str]]:
    value = line["book"].casefold()
    value = value if value in _BOOK else next((one for one in values if one in _BOOK), "")
    if not value:
        faults.append(line.fault("book", "a mark", "ok or over, as the book has it"))
    if not line["initials"]:
        faults.append(line.fault("initials", "nothing", "the initials in the book"))
    yield own | {"kind": "initial", "value": value, "initials": line["initials"]}


def _of_label(line: SheetLine) -> tuple[dict[str, str], list[Fault]]:
    match line.label:
        case label if label == AT_SCALE:
            faults = [] if line["by"] else [line.fault("by", "nothing", "the official")]
            return {"kind": "at_scale", "team": line["team"]}, faults
        case label if label == CHECK:
            faults = [
                line.fault(column, "nothing", "pounds, such as 10.05")
                for column in ("reads", "limit")
                if not line[column]
            ]
            return {"kind": "station", "reading": line["reads"], "limit": line["limit"]}, faults
        case label if label == OUT:
            faults = [] if line["note"] else [line.fault("note", "nothing", "why")]
            return {"kind": "scale_out", "reason": line["note"], "note": ""}, faults
        case label if label == CLOSED:
            return {"kind": "close", "team": line["team"]}, []
        case label:
            return {"kind": "half", "half": _HALVES[label]}, []
