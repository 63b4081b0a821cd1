"""The Monday page in words, the same on screen and on paper: players by number, never by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ledger.derive.looking import Row
from ledger.derive.monday import GameWeek, Monday
from ledger.record.authority import role_name
from ledger.record.kinds import BRINGS_IN
from ledger.say.cases import about as about_case
from ledger.say.cases import stands
from ledger.say.clock import local_date, local_time
from ledger.say.lines import Line
from ledger.say.monday_items import Group, groups
from ledger.say.names import Names
from ledger.say.season import AREAS
from ledger.say.words import join, lower_first, upper_first
from ledger.store.store import Store

TO_ASK = "To ask a reviewer about one of these, name its rule:"
TO_CONFIRM = "To be confirmed by the site official, a board member, a president or the registrar"
CONFIRMED = "Confirmed since"
ASK = "weighbook case open NAME --from-finding RULE --game GAME --by WHO"
_FEW = 3
"""To name the rest as missing is praise up to here."""
_RULE = "appointed_without_authority"


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """The whole page.

    `well` are games (id, what went well, until when to protest), `cases` open ones (id, what it is
    about, where it is). `to_confirm` are those let in at the table (what happened, what to type),
    `confirmed` those of them whom someone has appointed.
    """

    title: str
    well: tuple[tuple[str, str, str], ...]
    settle: tuple[Group, ...]
    still: tuple[Group, ...]
    cases: tuple[tuple[str, str, str], ...]
    to_confirm: tuple[tuple[str, str], ...]
    confirmed: tuple[str, ...]


def names_of(
    store: Store, found: Monday, shown: Callable[[str], str] = str
) -> Callable[[str], str]:
    """What officials are called, by id; `shown` as `Names` has it."""
    events = [stored.event for stored in found.events]
    holders = [one for one in events if one.kind in BRINGS_IN["official"]]
    return Names(store, holders, shown).of


def page(found: Monday, name_of: Callable[[str], str] = str) -> Page:
    """Put a Monday into words; `name_of` names officials (`names_of`)."""
    day = local_date(found.games[0].kickoff, found.zone) if found.games else found.day.date
    after = f"after week {found.day.week} ({day})"
    return Page(
        title=f"Association {found.association}, {after}"
        if found.association
        else upper_first(after),
        well=tuple((game.game, _well(game), _protests(game, found.zone)) for game in found.games),
        settle=groups(found, found.found),
        still=groups(found, found.still),
        cases=tuple(
            (
                row["case_id"],
                about_case(row),
                stands(row, found.zone, found.now).replace("\n", ", "),
            )
            for row in found.cases
        ),
        to_confirm=tuple(
            (f"{_let_in(row, name_of)} ({_RULE})", _appoint(row))
            for row in found.let_in
            if row["confirmed_by"] is None
        ),
        confirmed=tuple(
            f"{_let_in(row, name_of)}, confirmed by {row['confirmed_by']}"
            for row in found.let_in
            if row["confirmed_by"] is not None
        ),
    )


def page_lines(shown: Page, store: str) -> list[Line]:
    """The page as text; `store` ends each command."""
    lines = [Line(shown.title), Line(""), Line("What went well")]
    for game, text, until in shown.well:
        protests = f" Protests until {until}." if until else ""
        lines.append(Line(f"{game}: {text}.{protests}", 2, 4))
    for heading, found in (("What to settle", shown.settle), ("Still to do", shown.still)):
        if found:
            lines += [Line(""), Line(heading)]
        for group in found:
            lines.append(Line(f"For: {group.role}", 2))
            for block in group.blocks:
                lines.append(Line(f"{block.game}: {block.until}", 4, 6))
                for item in block.items:
                    lines.append(Line(f"{item.about}{item.said} ({item.rule})", 6, 8))
                    lines += [Line(text, 8, 8) for text in (item.why,) if text]
                    lines += [Line(f"{item.command}{store}", 8)] if item.command else []
    if shown.to_confirm:
        lines += [Line(""), Line(TO_CONFIRM)]
    for said, command in shown.to_confirm:
        lines += [Line(said, 2, 4), Line(f"{command}{store}", 4)]
    if shown.confirmed:
        lines += [Line(""), Line(CONFIRMED)]
    lines += [Line(said, 2, 4) for said in shown.confirmed]
    if not shown.settle and not shown.to_confirm:
        lines += [Line(""), Line("Nothing to settle.")]
    if shown.cases:
        lines += [Line(""), Line("Open questions")]
        lines += [Line(f"{case} ({about}): {where}", 2, 4) for case, about, where in shown.cases]
    if shown.settle:
        lines += [Line(""), Line(TO_ASK), Line(f"{ASK}{store}", 2)]
    return lines


def _well(game: GameWeek) -> str:
    """ "everything except the book and stripes"; where much is missing, what did go well."""
    if game.is_off:
        return "called off"
    if not game.is_weighed:
        return "nobody is weighed yet"
    well = [lower_first(AREAS[area]) for area in game.well]
    others = [lower_first(AREAS[area]) for area in AREAS if area not in game.well]
    if not others:
        return "everything"
    if len(others) <= _FEW:
        return f"everything except {join(others)}"
    return join(well) or "see what to settle"


def _protests(game: GameWeek, zone: str) -> str:
    return local_time(game.protest_until, zone) if game.protest_until else ""


def _let_in(row: Row, name_of: Callable[[str], str]) -> str:
    """ "acorn-1a: Pip Pond (new-482913), weighmaster of newts, let in by marmots-wm1"."""
    who = f"{name_of(row['official'])} ({row['official']})"
    what = f"{role_name(row['role'])} of {row['team']}" if row["team"] else role_name(row["role"])
    return f"{row['game']}: {who}, {what}, let in by {row['given_by']}"


def _appoint(row: Row) -> str:
    team = f" --team {row['team']}" if row["team"] else ""
    role = f"--game {row['game']}{team} --value {row['official']} --to {row['role']}"
    return f"weighbook record appoint {role} --by WHO"
