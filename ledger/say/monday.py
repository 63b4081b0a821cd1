"""The Monday page in words, the same on screen and on paper: players by number, never by name."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from ledger.derive.looking import LOOKERS, Row, lookers
from ledger.derive.monday import GameWeek, Monday
from ledger.record.authority import role_name
from ledger.record.kinds import BRINGS_IN
from ledger.say.cases import about as about_case
from ledger.say.cases import stands
from ledger.say.clock import local_date, local_time
from ledger.say.lines import Line, short_id
from ledger.say.lists import signature_of
from ledger.say.names import Names
from ledger.say.season import AREAS
from ledger.say.why import sentence
from ledger.say.words import join, lower_first
from ledger.store.store import Store

TO_ASK = "To ask a reviewer about one of these, name its rule:"
TO_CONFIRM = "To be confirmed by the site official, a board member, a president or the registrar"
CONFIRMED = "Confirmed since"
ASK = "weighbook case open NAME --from-finding RULE --game GAME --by WHO"


_FEW = 3
"""To name the rest as missing is praise up to here."""
_RULE = "appointed_without_authority"


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A finding: what it is about, what was seen, the words of `why`, and what to type."""

    rule: str
    about: str
    said: str
    why: str
    command: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One game's findings for one role; `until` says when they should be settled."""

    game: str
    until: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """What one role looks at first."""

    role: str
    blocks: tuple[Block, ...]


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
    whose = f"{found.association}, after" if found.association else "After"
    return Page(
        title=f"{whose} week {found.day.week} ({day})",
        well=tuple((game.game, _well(game), _protests(game, found.zone)) for game in found.games),
        settle=_groups(found, found.found),
        still=_groups(found, found.still),
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
    for heading, groups in (("What to settle", shown.settle), ("Still to do", shown.still)):
        if groups:
            lines += [Line(""), Line(heading)]
        for group in groups:
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


def _groups(found: Monday, rows: Sequence[Row]) -> tuple[Group, ...]:
    games = {game.game: game for game in found.games}
    groups = []
    for role in LOOKERS:
        own = [row for row in rows if lookers(row["rule"])[0] == role]
        blocks = tuple(
            Block(
                game=game,
                until=_until(games[game], found.zone),
                items=_items(found, list(of_game)),
            )
            for game, of_game in groupby(own, key=lambda row: str(row["game"]))
        )
        if blocks:
            groups.append(Group(role=role_name(role), blocks=blocks))
    return tuple(groups)


def _until(game: GameWeek, zone: str) -> str:
    """ "settle before Sat, Sep 12, 2026, 9:00 AM CDT (acorn-2a)"."""
    if game.next is None:
        return "no later game of these teams"
    kickoff, later = game.next
    return f"settle before {local_time(kickoff, zone)} ({later})"


def _items(found: Monday, rows: Sequence[Row]) -> tuple[Item, ...]:
    """The findings of one game; a child's explanation stands once."""
    told: set[tuple[str, str]] = set()
    items = []
    for row in rows:
        child = (str(row["team"]), str(row["player"]))
        why = found.whys.get((row["game"], *child)) if child not in told else None
        told.add(child)
        items.append(
            Item(
                rule=row["rule"],
                about=_about(row, found.numbers),
                said=str(row["detail"]),
                why=sentence(why, found.zone) if why else "",
                command=_command(row, found.numbers) if why else "",
            )
        )
    return tuple(items)


def _about(row: Row, numbers: Mapping[tuple[str, str, str], int | None]) -> str:
    """ "newts 12 (k101): "; "list of newts, signature of marmots: "; "" for a whole game."""
    if row["side"]:
        return f"{signature_of(row['team'], row['side'])}: "
    number = numbers.get((row["game"], row["team"], row["player"]))
    player = short_id(row["player"]) or ""
    if number is not None:
        player = f"{number} ({player})"
    parts = (row["team"], player, row["official"], row["case"])
    words = " ".join(part for part in parts if part)
    return f"{words}: " if words else ""


def _command(row: Row, numbers: Mapping[tuple[str, str, str], int | None]) -> str:
    number = numbers.get((row["game"], row["team"], row["player"]))
    who = f"--number {number}" if number is not None else str(row["player"])
    return f"weighbook why {row['game']} --team {row['team']} {who}"
