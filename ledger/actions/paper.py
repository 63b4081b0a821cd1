"""A weigh-in kept on paper: make the sheet to type it into, and record what was typed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from ledger.actions.asking import ACTING, Acting, AskDespiteError
from ledger.actions.entries import Recorded, append_entries
from ledger.actions.typed import SeveralFitError
from ledger.actions.typed_cells import typed_official
from ledger.chain.event import Event
from ledger.derive.asked import refuse_unknown
from ledger.derive.engine import Engine
from ledger.derive.scope import read_game
from ledger.derive.spreadsheet import format_csv
from ledger.derive.weighmasters import weighmaster_of
from ledger.errors import Fault, FolderError, InputError
from ledger.outputs import Kind, write_output
from ledger.record.accept import Candidate
from ledger.record.accepted import Accepted
from ledger.record.kinds import MARKS, WEIGHS
from ledger.record.known import Known
from ledger.record.paper_entries import Typing, entries_of
from ledger.record.paper_sheet import AFTER, AT_SCALE, BEFORE, COLUMNS, SheetLine, read_sheet
from ledger.record.reading import read_statement
from ledger.record.spreadsheet import read_sheets
from ledger.record.statements import Statement
from ledger.record.times import zone
from ledger.record.typed_times import typed_time
from ledger.record.withdrawals import withdrawn
from ledger.say.names import Names
from ledger.say.paper import to_come
from ledger.store.acts import check_official
from ledger.store.league import league_zone
from ledger.store.recording import accept_next
from ledger.store.snapshot import ByIndex
from ledger.store.store import Store
from ledger.store.withdrawals import with_withdrawals

TO_COME = "time_to_come"
SHEET = Kind("a sheet to fill in", None)


@dataclass(frozen=True)
class PaperEntered:
    """What a filled-in sheet says, before it is recorded.

    `accepted` are its new entries by time, with players' ids; `lines` the line of each. `held`
    counts entries that the ledger has already. `unmarked` are lines of players without any mark.
    `otherwise` are weighs, marks and crossings-off of the same players that the ledger has
    otherwise: the sheet was changed since, or someone else entered it. `not_other_side` are
    officials who weighed, and are weighmasters of no team but the player's own.
    """

    zone: str
    accepted: tuple[Accepted, ...]
    lines: tuple[SheetLine, ...]
    held: int
    unmarked: tuple[SheetLine, ...]
    otherwise: tuple[Event, ...]
    not_other_side: tuple[str, ...]
    statements: tuple[Statement, ...] = field(repr=False)


def write_sheet(store: Store, game: str, team: str, to: Path, *, with_names: bool) -> int:
    """Write the sheet of one side of a game; return the number of its players.

    InputError for an unknown game or team; ReportError if `to` exists, filled in or not.
    """
    refuse_unknown(store, game=game, team=team)
    events = read_game(store, game)
    engine = Engine(events)
    names = Names(store, [one.event for one in events])
    (found,) = (row for row in engine.answer("game").dicts() if row["game"] == game)
    roster = [
        row for row in engine.answer("roster").dicts() if (row["game"], row["team"]) == (game, team)
    ]
    roster.sort(key=lambda row: (row["number"] is None, row["number"], row["player"]))
    own: dict[str, Any] = {"game": game, "team": team}
    sides = [side for side in (found["visitor"], found["home"]) if side != team]
    rows = [own | {"team": side, "line": AT_SCALE} for side in (*sides, team)]
    rows += [own | {"line": label} for label in BEFORE]
    for row in roster:
        line = own | {"line": row["player"], "number": row["number"]}
        rows.append(line | {"name": names.of(row["player"])} if with_names else line)
    rows += [own] * 2  # room for players who are not on the roster
    rows += [own | {"line": label} for label in AFTER]
    text = format_csv(list(COLUMNS.values()), ([row.get(key) for key in COLUMNS] for row in rows))
    write_output(text.encode("utf-8-sig"), to, SHEET)
    return len(roster)


def look_at_sheet(
    store: Store,
    path: Path,
    *,
    by: str,
    time: str = "",
    initials: Mapping[str, str] | None = None,
    chain: str,
) -> PaperEntered:
    """Read a filled-in sheet and check all of it, as the ledger is now; nothing is written.

    `by` reported the lines that name nobody else; `initials` maps initials to officials. `time` is
    for lines without one. FolderError with every fault; InputError if there is nothing to record.
    """
    check_official(store, by)
    name = league_zone(store)
    lines, faults = _lines_of(path)
    kickoffs = _kickoffs(store, {line["game"] for line in lines})

    def clock(game: str, typed: str) -> str:
        return typed_time(typed, zone(name), near=kickoffs.get(game))

    marks = {mark.casefold(): official for mark, official in (initials or {}).items()}
    entries, more = entries_of(lines, Typing(by, clock, marks, time))
    faults += more
    candidates = []
    officials: dict[str, str] = {}
    for entry in entries:
        typed = entry.cells["by"]
        if typed not in officials:
            try:
                officials[typed] = typed_official(store, typed)
            except SeveralFitError as error:
                faults.append(entry.line.fault("by", f"'{typed}'", f"one of {error.shown}"))
                continue
        cells = entry.cells | {"by": officials[typed]}
        statement, more = read_statement(cells, zone(name), entry.line.place)
        faults += more
        if statement is not None:
            candidates.append(Candidate(statement, entry.line.place))
    if faults:
        raise FolderError(faults)
    head = store.head(chain)
    known = Known(ByIndex(store))
    accepted, faults = accept_next(known, candidates, chain, head, store.clock())
    if faults:
        raise FolderError(faults)
    held = _held(store, accepted)
    keys = [_key(one) for one in accepted]
    new = [at for at, key in enumerate(keys) if key not in held]
    if not new:
        what = "is already in the ledger" if accepted else "has no mark in it"
        hint = "Fill in the sheet: x in a box, the time beside it. Save it, and enter it again."
        raise InputError(f"{path.name} {what}; nothing was recorded", hint="" if accepted else hint)
    about = {_about(accepted[at]) for at in new if accepted[at].kind in _ONCE}
    differs = (event for key, event in held.items() if event.kind in _ONCE and key not in keys)
    return PaperEntered(
        name,
        tuple(accepted[at] for at in new),
        tuple(entries[at].line for at in new),
        len(accepted) - len(new),
        tuple(one for one in lines if one["line"] and not one.label and not one.is_filled),
        tuple(event for event in differs if _about(event) in about),
        _not_other_side(store, (accepted[at] for at in new)),
        tuple(candidates[at].statement for at in new),
    )


def enter_sheet(store: Store, paper: PaperEntered, acting: Acting = ACTING) -> Recorded:
    """Record what `look_at_sheet` found, as one act. Asks about texts, and about times to come.

    A weigh after the close stays what the paper says it was: one yes would be for all of them.
    """
    ask_about_times(store, paper, acting)
    return append_entries(store, paper.statements, replace(acting, late=False))


def ask_about_times(store: Store, paper: PaperEntered, acting: Acting) -> None:
    """Raise AskDespiteError if a time is later than now, unless the person goes on despite it.

    Not a refusal: this device's clock may be slow.
    """
    if TO_COME in acting.despite:
        return
    now = store.clock()
    if later := sorted({str(one.at) for one in paper.accepted if str(one.at) > now}):
        heading, line = to_come(later, now, paper.zone)
        raise AskDespiteError(heading, [TO_COME], lambda names: (line,))


def _lines_of(path: Path) -> tuple[list[SheetLine], list[Fault]]:
    lines: list[SheetLine] = []
    faults: list[Fault] = []
    for sheet in read_sheets(path):
        found, more = read_sheet(sheet)
        lines += found
        faults += more
    return lines, faults


def _kickoffs(store: Store, games: set[str]) -> dict[str, str]:
    """The kickoff of each game as it stands; acceptance refuses an unknown game."""
    found = {}
    for game in sorted(games):
        if game and list(store.events(kind=["game"], game=[game])):
            rows = Engine(read_game(store, game)).answer("game").dicts()
            found[game] = next(row["kickoff_at"] for row in rows if row["game"] == game)
    return found


def _not_other_side(store: Store, entries: Iterable[Accepted]) -> tuple[str, ...]:
    """Who weighed, and is a weighmaster of no team but the player's own."""
    weighs = {(str(one.by), str(one.game), one.team) for one in entries if one.kind in WEIGHS}
    found = {by for by, game, team in weighs if not weighmaster_of(store, by, game) - {team}}
    return tuple(sorted(found))


def _held(store: Store, accepted: Sequence[Accepted]) -> dict[tuple[Any, ...], Event]:
    """What the ledger holds of these games and kinds by its key, withdrawn entries aside."""
    games = sorted({str(one.game) for one in accepted})
    kinds = sorted({*_ONCE, *(one.kind for one in accepted)})
    events = [stored.event for stored in store.events(kind=kinds, game=games)]
    withdrawals = [one for one in with_withdrawals(store, events) if one.kind == "withdraw"]
    gone = withdrawn((one.id, one.data["target"]) for one in withdrawals)
    return {_key(event): event for event in events if event.id not in gone}


def _about(stated: Accepted | Event) -> tuple[Any, ...]:
    return _ONCE[stated.kind], stated.game, stated.team, stated.player


_ONCE = {kind: "weigh" if kind in WEIGHS else kind for kind in (*MARKS, "strike_off")}
"""Kinds that a sheet holds once for a player; a weigh is on time or late."""


def _key(stated: Accepted | Event) -> tuple[Any, ...]:
    """What makes two entries the same, whatever remark is beside them and whoever weighed."""
    said = sorted((key, text) for key, text in stated.data.items() if key not in _BESIDE)
    who = stated.by if stated.kind == "at_scale" else None
    return stated.kind, stated.at, stated.game, stated.team, stated.player, who, tuple(said)


_BESIDE = ("number", "digests", "source", "ref")
