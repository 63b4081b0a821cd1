"""A folder loaded again: whether its day files still begin with the lines loaded before.

A line removed or inserted moves all lines after it: this is one fault, not one per line. A day file
under a second name would enter everything twice, so it is refused.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations

from ledger.chain.event import Event
from ledger.errors import Fault
from ledger.record.folder import Folder, Line
from ledger.record.reading import Place
from ledger.store.loaded import Loaded, local_text

Differ = Callable[[Line, Event], list[Fault]]
_SURE = 3
"""Consecutive matches needed to call it a shift; two at the end of a file."""
_COPY = 4
"""Matching lines needed to call a file a copy; fewer may be facts entered twice."""


def check_lines(
    loaded: Loaded, folder: Folder, differ: Differ, zone_name: str
) -> tuple[list[Fault], set[str]]:
    """What of the lines loaded before has changed or vanished, and which files are copies.

    The set names the files whose new lines need no further look: a line has moved them, or the
    file is a copy.
    """
    faults: list[Fault] = []
    stopped: set[str] = set()
    now, before = _by_file(folder), defaultdict[str, list[Event]](list)
    for file, record in sorted(loaded.lines):
        before[file].append(loaded.lines[file, record])
    for file, events in before.items():
        if file not in folder.files:
            faults.append(Place(file).fault("", "no such file", "the file as it was loaded before"))
            continue
        lines = now[file]
        found = [differ(line, event) for line, event in zip(lines, events, strict=False)]
        first = next((at for at, more in enumerate(found) if more), len(found))
        if moved := _moved(lines, events, first, differ, zone_name):
            faults.append(moved)
            stopped.add(file)
            continue
        faults += [fault for more in found for fault in more]
        if len(lines) < len(events):
            gone = f"no record {len(lines) + 1}, which was loaded before"
            faults.append(Place(file).fault("", gone, "the lines loaded before, then new ones"))
    copies = _copy_faults(loaded, folder)
    return faults + copies, stopped | {fault.file for fault in copies}


def _copy_faults(loaded: Loaded, folder: Folder) -> list[Fault]:
    """Return faults for new day files that repeat another, in whole or from its start."""
    faults = []
    old = {file for file, _ in loaded.lines}
    files = [(file, lines) for file, lines in _by_file(folder).items() if len(lines) >= _COPY]
    for one, other in combinations(files, 2):
        # Of two new files, the one with the longer name is the copy: "5.csv", "5 (1).csv".
        (file, lines), (first, same) = sorted(
            (one, other),
            key=lambda named: (named[0] not in old, len(named[0]), named[0]),
            reverse=True,
        )
        if file in old or not all(
            a.statement == b.statement for a, b in zip(lines, same, strict=False)
        ):
            continue
        found = f"the same lines as in {first}"
        right = f"remove {file if len(lines) <= len(same) else first}"
        if first in old and len(lines) > len(same):  # what was loaded must stay where it is
            right = f"move its new lines to the end of {first}, or replace {first} with this file"
        faults.append(lines[0].place.fault("", found, f"each line in only one file: {right}"))
    return faults


def _by_file(folder: Folder) -> defaultdict[str, list[Line]]:
    files = defaultdict[str, list[Line]](list)
    for line in folder.lines:
        files[line.place.file].append(line)
    return files


def _moved(
    lines: Sequence[Line], events: Sequence[Event], at: int, differ: Differ, zone_name: str
) -> Fault | None:
    """The fault of one line too few or too many at this place, if that is what it looks like."""

    def same(line: int, event: int) -> bool:
        return line < len(lines) and event < len(events) and not differ(lines[line], events[event])

    def alike(pairs: Iterator[tuple[int, int]]) -> bool:
        there = [(n, m) for n, m in pairs if n < len(lines) and m < len(events)]
        return len(there) > 1 and all(same(n, m) for n, m in there)

    if at >= len(lines) or at >= len(events):
        return None
    ahead = range(at, at + _SURE)
    if alike((n, n + 1) for n in ahead) and not same(at + 1, at):
        found = f"no line where {_said(events[at], zone_name)} was loaded"
        right = "that line before this one; to withdraw a mistake, add a line at the end"
        return lines[at].place.fault("", found, right)
    if alike((n + 1, n) for n in ahead) and not same(at, at + 1):
        right = "new lines only after those loaded before"
        return lines[at].place.fault("", "a line between those loaded before", right)
    return None


def _said(event: Event, zone_name: str) -> str:
    """ "weigh of acorn-1a newts 12, 2026-09-05 08:41-05:00," in the words of the day files."""
    whom = event.data.get("number", event.player)
    about = " ".join(str(part) for part in (event.game, event.team, whom) if part is not None)
    return (
        f"{event.kind}{f' of {about}' if about else ''}, {local_text(event.at or '', zone_name)},"
    )
