"""The Monday page in words, the same on screen and on paper: players by number, never by name."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ledger.derive.looking import Row
from ledger.derive.monday import Monday
from ledger.derive.monday_games import GameWeek
from ledger.record.authority import role_name
from ledger.record.kinds import BRINGS_IN
from ledger.say.cases import about as about_case
from ledger.say.cases import stands
from ledger.say.clock import local_date, local_time
from ledger.say.lines import Line
from ledger.say.monday_items import Block, Group, answered, groups
from ledger.say.names import Names
from ledger.say.season import AREAS
from ledger.say.words import join, lower_first, upper_first
from ledger.store.store import Store

TO_ASK = (
    "Ask those who were there; enter what is missing. Still open? Ask a reviewer: type the line "
    "below, or have the registrar do it. RULE is the small word after the item’s first sentence, "
    "OFFICIAL is your id, CASE a short word you choose, never a child’s name. Where the item names "
    "none, or the line is refused, leave out --team and --number; --player takes a player’s id."
)
TO_CONFIRM = "To be confirmed by the site official, a board member, a president or the registrar"
CONFIRMED = "Confirmed since"
ANSWERED = "Already answered"
ASK = (
    "weighbook case open CASE --from-finding RULE --game GAME --team TEAM --number N --by OFFICIAL"
)
_RULE = "appointed_without_authority"


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """The whole page.

    `running` is a short title. `well` are games (id, who plays, what went well, until when to
    protest), `notes` say why a part that did not go well has no item. `answered` are findings and
    cases with a ruling, by game. `cases` are open ones (id, what it is about, where it is).
    `to_confirm` are those let in at the table (what happened, what to type), `confirmed` those of
    them whom someone has appointed.
    """

    title: str
    running: str
    well: tuple[tuple[str, str, str, str], ...]
    notes: tuple[str, ...]
    settle: tuple[Group, ...]
    still: tuple[Group, ...]
    answered: tuple[Block, ...]
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
    whose = f", association {found.association}" if found.association else ""
    short = f", {found.association}" if found.association else ""
    week = f"week {found.day.week}"
    return Page(
        title=f"After {week} ({day}){whose}",
        running=f"{week} ({day.partition(', ')[2]}){short}",
        well=tuple(
            (
                game.game,
                f"{found.teams[game.visitor]} at {found.teams[game.home]}",
                _well(game),
                _protests(game, found.zone),
            )
            for game in found.games
        ),
        notes=tuple(note for game in found.games for note in _notes(game)),
        settle=groups(found, found.found),
        still=groups(found, found.still),
        answered=answered(found),
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
    for game, teams, text, until in shown.well:
        protests = f" Protests until {until}." if until else ""
        lines.append(Line(f"{game}, {teams}: {text}.{protests}", 2, 4))
    lines += [Line(note, 2, 4) for note in shown.notes]
    for heading, found in (("What to settle", shown.settle), ("Still to do", shown.still)):
        if found:
            lines += [Line(""), Line(heading)]
        for group in found:
            lines.append(Line(f"For: {group.role}", 2))
            lines += _block_lines(group.blocks, store)
    if shown.answered:
        lines += [Line(""), Line(ANSWERED), *_block_lines(shown.answered, store)]
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


def _block_lines(blocks: Sequence[Block], store: str) -> list[Line]:
    lines = []
    for block in blocks:
        until = f": {block.until}" if block.until else ""
        lines.append(Line(f"{block.game}, {block.teams}{until}", 4, 6))
        for item in block.items:
            rule = f" ({item.rule})" if item.rule else ""
            lines.append(Line(f"{item.about}{item.said}{rule}", 6, 8))
            lines += [Line(text, 8, 8) for text in (item.asked, item.why) if text]
            lines += [Line(f"{item.command}{store}", 8)] if item.command else []
    return lines


def _well(game: GameWeek) -> str:
    """ "everything except the book and stripes"; always the exceptions, so no list is misread."""
    if game.is_off:
        return "called off"
    if not game.is_weighed:
        return "nobody is weighed yet"
    others = [area for area in AREAS if area not in game.well]
    return f"everything except {_named(others)}" if others else "everything"


def _notes(game: GameWeek) -> list[str]:
    notes = []
    if game.elsewhere:
        named = upper_first(_named(game.elsewhere))
        what = f"{named} in {game.game}"
        notes.append(f"{what}: only about another association’s teams. See the league’s page.")
    if game.lacks_check:
        notes.append(f"The scale in {game.game}: no check of it passed.")
    return notes


def _named(areas: Sequence[str]) -> str:
    """The parts; semicolons between them where one has an "and" of its own."""
    named = [lower_first(AREAS[area]) for area in areas]
    return "; ".join(named) if any(" and " in one for one in named) else join(named)


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
