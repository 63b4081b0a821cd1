"""One statement in words: what it says, when, and by which official. Children by number and id."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ledger.derive.statements import Role, Statement
from ledger.record.authority import AT_THE_TABLE, role_name
from ledger.say import codes
from ledger.say.clock import local_time, time_beside
from ledger.say.lines import Line
from ledger.say.words import join, upper_first

NameOf = Callable[[str], str]

NO_AUTHORITY = " (appointment not confirmed)"


def what(statement: Statement, zone: str, *, struck: Sequence[str] = ()) -> str:
    """What the statement says, as a short sentence without its period.

    `struck` are the reasons of the lines that a strike-off struck, if known.
    """
    says = statement.says
    match statement.kind:
        case "weigh" | "late_weigh":
            return _weigh(statement)
        case "initial":
            value, initials = codes.VALUES[says["value"]], says["initials"]
            return f"Marked in the book in {statement.game}: {value}, initials {initials}"
        case "list":
            return f"Put on the list {codes.REASONS[says['reason']]}"
        case "strike_off":
            # Without a reason it strikes off both; do not blame the player's gear.
            reasons = [says["reason"]] if "reason" in says else struck or ["absent", "equipment"]
            was = join([*map(codes.reason_alone, reasons)], "and" if struck else "or")
            return f"Struck off the list (was: {was})"
        case "ruling":
            return _ruling(says)
        case "case_open":
            return f"Case {says['case_id']} opened, about {codes.CASES[says['reason']]}"
        case "half":
            return f"{upper_first(codes.HALVES[says['half']])} ended"
        case "plays":
            return f"Plays in {codes.HALVES[says['half']]} so far: {says['count']}"
        case "snaps":
            return f"Snaps in {codes.HALVES[says['half']]} so far: {says['count']}"
        case "withdraw":
            return f"Withdrawn: {says['target_id']}"
        case "roster_add" | "enter_player":
            new = "New player" if statement.kind == "enter_player" else "Player"
            return f"{new} added" + (to_roster(says, statement.team) if statement.team else "")
        case "appoint":
            held = codes.role_held(says["to_role"], statement.team, statement.game)
            return f"Appointed {says['value']} as {held}"
        case "trained":
            return f"{says['value']} is trained as a weighmaster"
        case "assign":
            return f"{says['value']} will stand at the scale for {statement.team}"
        case "number_change":
            return f"New number for {statement.team}: {says['number']}"
        case "game_change":
            moved = [local_time(says["kickoff_at"], zone)] if "kickoff_at" in says else []
            to = ", ".join([*moved, *([says["site"]] if "site" in says else [])])
            return "Game moved" + (f": {to}" if to else "")
        case kind:
            return _PLAIN.get(kind) or _by_its_name(statement)


_PLAIN = {
    "stripe": "The helmet was striped",
    "close": "The team's weigh-in was closed",
    "scale_out": "The scale was out of use",
    "roster_drop": "Taken off the roster",
    "game_off": "The game was called off",
    "season_close": "The season was closed",
}


def _by_its_name(statement: Statement) -> str:
    """A kind without words of its own: "Water break: 10"."""
    given = ", ".join(str(cell).replace("_", " ") for cell in statement.says.values())
    return upper_first(statement.kind.replace("_", " ")) + (f": {given}" if given else "")


def _weigh(statement: Statement) -> str:
    late = statement.kind == "late_weigh"
    value = statement.says["value"]
    if value == "no_scale":
        return f"Came to the scale{' late' if late else ''}; it was out of use"
    return f"Weighed{' late' if late else ''}: {codes.VALUES[value]}"


def to_roster(says: Mapping[str, Any], team: str | None = None) -> str:
    """ " to the roster of newts as number 12", or as much of it as is known."""
    number = f" as number {says['number']}" if "number" in says else ""
    return f" to the roster{f' of {team}' if team else ''}{number}"


def _ruling(says: dict[str, Any]) -> str:
    given = [codes.plays(says["may_play"])] if "may_play" in says else []
    given += [codes.carries(says["may_carry"])] if "may_carry" in says else []
    said = [codes.RULINGS[says["value"]]]
    if given:  # "decided otherwise" says nothing beside what was decided
        said = [*said * (says["value"] != "decided"), f"the player {join(given)}"]
    return f"Ruling in case {says['case_id']}: {'; '.join(said)}"


_AS_IT_IS = (
    *("happened", "entered", "recorded"),
    *("is_loaded", "is_late", "is_behind", "is_role_later"),
)


def content(statement: Statement, zone: str, name_of: NameOf) -> dict[str, Any]:
    """The statement for JSON: what it says in words, its three times in UTC, and its official."""
    return {
        "event": statement.event,
        "what": what(statement, zone),
        **{key: getattr(statement, key) for key in _AS_IT_IS},
        "by": {
            "official": statement.by,
            "name": name_of(statement.by),
            "roles": [role(one) for one in statement.roles],
        },
    }


def when(statement: Mapping[str, Any], zone: str, *, recorded_too: bool = True) -> str:
    """The times of a `content`: happened, written down, and recorded by the ledger's clock."""
    happened, written, recorded = (statement[key] for key in ("happened", "entered", "recorded"))

    def then(later: str, earlier: str) -> str:
        same = local_time(later, zone) == local_time(earlier, zone)
        return "at once" if same else time_beside(happened, later, zone)

    times = f"Happened {local_time(happened, zone)}; written down {then(written, happened)}"
    return times + f"; recorded {then(recorded, written)}" * recorded_too


def lateness(statement: Mapping[str, Any]) -> str:
    """What is unusual about when it was recorded; "" if nothing is.

    `statement` is a `content`, or the fields of a Statement. A season typed in on Monday from
    signed paper is usual; `recorded_together` says so once for all its statements.
    """
    marks = ["recorded after a signature, dated before it"] * statement["is_behind"]
    if statement["is_late"] and not (statement["is_loaded"] or statement["is_behind"]):
        marks.append("recorded late")
    if statement["is_role_later"]:
        marks.append("the role came into the ledger only after this ruling")
    return "; ".join(marks)


def recorded_together(
    statements: Sequence[Mapping[str, Any]], zone: str, what: str = "all of this"
) -> str:
    """One sentence for `content`s that all came late and together from day files; or ""."""
    moments = {local_time(one["recorded"], zone) for one in statements}
    usual = all(one["is_loaded"] and not one["is_behind"] for one in statements)
    if len(moments) != 1 or not usual or not any(one["is_late"] for one in statements):
        return ""
    return f"Typed in from paper: the ledger recorded {what} on {moments.pop()}."


def appointed(statement: Statement, *, has_authority: bool) -> str:
    """Whether an appointment gives authority; if not, the people to ask."""
    to, by = statement.says["to_role"], statement.by
    if has_authority:
        only = f", for {statement.game} only" if statement.game else ""
        held = codes.role_held(to, statement.team)
        return f"Appointed as {held}{only}. This appointment gives authority."
    article = "an" if to[0] in "aeiou" else "a"
    why = f"{by} may not appoint {article} {role_name(to)}"
    if by == statement.says["value"]:
        why = "officials do not appoint themselves"
    ask = "the registrar or a president"
    if to in AT_THE_TABLE:
        ask = "the registrar, a president, a board member or the site official"
    return f"This appointment gives no authority: {why}. Ask {ask}."


def role(one: Role) -> str:
    """ "weighmaster of newts in acorn-1a", with a mark if it was not confirmed."""
    held = codes.role_held(one.role, one.team, one.game)
    return held + ("" if one.has_authority else NO_AUTHORITY)


def statement_lines(statements: Sequence[Mapping[str, Any]], zone: str) -> list[Line]:
    """Each `content`: what it says, then when and by which official."""
    lines = []
    together = recorded_together(statements, zone)
    for one in statements:
        standing = codes.STATEMENTS[one.get("standing", "stands")]
        marks = "; ".join(filter(None, [standing, lateness(one)]))
        lines.append(Line(f"– {one['what']}{f' ({marks})' if marks else ''}.", 2, 4))
        by = f"{join(one['by']['roles']) or 'no role on record'} ({one['by']['official']})"
        if one["by"]["name"] != one["by"]["official"]:
            by = f"{one['by']['name']}, {by}"
        times = when(one, zone, recorded_too=not together)
        lines.append(Line(f"{times}. By {by}; {one['event']}.", 4, 4))
    return lines + [Line(together, 2, 2)] * bool(together)
