"""Read the rosters of a new season from spreadsheets; ask about columns and teams not sure of."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.actions.season_questions import AskForSeasonError, Wanted, need
from ledger.record.roster import Roster, gather
from ledger.record.roster_columns import name_key
from ledger.record.roster_layout import NONE, Block, Layout, find_blocks, lay_out
from ledger.record.roster_rows import Child, Remark, read_block
from ledger.record.spreadsheet import Sheet

SKIP = "skip"
"""The answer that leaves a sheet out."""
_USES = ("number", "name", "team", "division", "association")
_NO_NAME = re.compile(
    r"(sheet|tabelle|feuil|hoja|foglio|blad|ark|planilha|arkusz|table|export|data|list|rosters?"
    r"|players?|teams?)\s*\d*",
    re.IGNORECASE,
)
"""What spreadsheet programs and people call a sheet that is not named after a team."""


@dataclass(frozen=True)
class Taken:
    """What was taken from one roster of a sheet; `team` is "" where a column has it."""

    sheet: str
    layout: Layout
    team: str
    count: int


@dataclass(frozen=True)
class ReadRosters:
    """The rosters of all sheets, which columns they came from, remarks on rows and sheets."""

    roster: Roster
    taken: tuple[Taken, ...]
    remarks: tuple[Remark, ...]


def read_rosters(sheets: Sequence[Sheet], wanted: Wanted) -> ReadRosters:
    """Read every sheet. AskForSeasonError about a column or a team that is not sure."""
    blocks = {sheet: find_blocks(sheet) for sheet in sheets}
    has_headings = any(block.has_heading for found in blocks.values() for block in found)
    named = any((_question(use), "") in wanted.answers for use in _USES)
    children: list[Child] = []
    taken: list[Taken] = []
    remarks: list[Remark] = []
    for sheet, found in blocks.items():
        if (SKIP, sheet.name) in wanted.answers or SKIP in _answers(sheet, wanted).values():
            remarks.append(Remark("skipped", sheet.title))
            continue
        if has_headings and not named and not found[0].has_heading:
            remarks.append(Remark("no_roster", sheet.title))
            continue
        for block in found:
            layout = _settled(block, wanted)
            has_team = bool(layout.by_use["team"])
            team = "" if has_team else _team_of(block, found, sheets, wanted)
            more, notes = read_block(block, layout, team)
            children += more
            remarks += notes
            taken.append(Taken(sheet.title, layout, team, len(more)))
    roster = gather(children)
    order = {sheet.title: at for at, sheet in enumerate(sheets)}
    remarks += roster.remarks
    remarks.sort(key=lambda one: (order[one.sheet], one.row))
    return ReadRosters(roster, tuple(taken), tuple(remarks))


def _question(use: str) -> str:
    return f"column_{use}"


def _answers(sheet: Sheet, wanted: Wanted) -> dict[str, str]:
    """The columns chosen for this sheet, by use; an answer for it counts before one for all."""
    found = {}
    for use in _USES:
        for about in (sheet.title, ""):
            if answer := wanted.answers.get((_question(use), about)):
                found[use] = answer
                break
    return found


def _settled(block: Block, wanted: Wanted) -> Layout:
    layout = lay_out(block, _answers(block.sheet, wanted))
    for unsure in layout.unsure:
        what, about = _question(unsure.use), block.sheet.title
        answer = wanted.answers.get((what, about))
        problem = f"found '{answer}'; expected one of these columns, or {NONE}" if answer else ""
        raise AskForSeasonError(what, about, columns=unsure.among, problem=problem)
    return layout


def _team_of(block: Block, here: Sequence[Block], sheets: Sequence[Sheet], wanted: Wanted) -> str:
    """The team that the block's title, its sheet or its file names; asks if two may be it."""
    sheet = block.sheet
    siblings = [one for one in sheets if one.file == sheet.file]
    titles = Counter(block_.titles.team for one in siblings for block_ in find_blocks(one))
    title = block.titles.team if titles[block.titles.team] == 1 else ""
    tab = "" if _NO_NAME.fullmatch(sheet.name) else sheet.name
    if len(here) > 1:
        tab = ""
    known = {name_key(name) for name, _ in wanted.teams}
    guess = tab if tab and len(siblings) > 1 else title or tab or Path(sheet.file).stem
    is_sure = (
        name_key(guess) in known
        or (bool(title) and (not tab or name_key(tab) == name_key(title)))
        or (bool(tab) and len(siblings) > 1 and not title)
    )
    row = f", row {block.rows[0].number}" if len(here) > 1 and block.rows else ""
    about = f"{sheet.title}{row}"
    if is_sure and ("team", about) not in wanted.answers:
        return guess
    return need(wanted, "team", about, default=guess)
