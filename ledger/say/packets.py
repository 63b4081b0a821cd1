"""A packet's sentences: the question, a statement, time that passed, eligibility, plays."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from ledger.derive.statements import Statement
from ledger.errors import count_of
from ledger.record.authority import role_name
from ledger.review.packet_cases import Shares
from ledger.review.packet_leads import Lead
from ledger.review.timeline import TimelineEntry
from ledger.say import codes, settling, stated, words
from ledger.say.clock import local_time, minutes_between
from ledger.say.lines import UNLISTED

GAP_MINUTES = 60
"""From this gap on, a statement says how much later it is; the number is our own choice."""

_QUESTIONS = {
    "roster": "Who was {who}{where}: which player belongs to which number and roster?",
    "weigh": "Did the weigh-in{of}{where} follow the rules, and if not, what happens now?",
    "plays": "Did {whom}{where} get the plays that were due, and if not, what happens now?",
    "safety": "Was what people saw{where} safe, and what should be done?",
    "protest": "Is the protest{about}{where} right, and if so, what happens now?",
    "other": "What should be done about this question{about}{where}?",
}

_MAY_CARRY = "May {whom}{where} carry the ball?"
FROM_OUTSIDE = "This did not come from a reviewer of that question, so it changes nothing."
GAME_OFF = "The game is off. A mark made in it stays in the book."
FIRST_MARK = "the book mark"
HAS_FINDING = "see findings"
SAME_NAME = "The same name does not prove that it is the same child. People decide."
ENTERED_BY_NAME = (
    "“Entered by name” means: someone wrote down this number and name for a child who was not on"
    " the roster. The ledger made an id for these entries."
)
LINE_WITHDRAWN = "withdrawn, no longer on the list"
NOT_CROSSED_OFF = "no longer crossed off"
SEE_CHANGES = "see the changes below"
_LATER = {"late_weigh": "weighed late", "weigh": "weigh entered", "ruling": "ruled on"}
_RESULTS = {"ok": "Not over", "over": "Over", "no_scale": "Came; scale out of use"}
_PLAIN = {
    "case_statement": "Said",
    "case_exhibit": "Handed in a file",
    "case_close": "Closed the case",
    "case_open": "Asked the question",
    "at_scale": "Stood at the scale",
    "countersign": "Signed the team's list as it was",
    "close": "Closed the team's weigh-in",
}


def question(reason: str, whom: str, game: str, *, asks_to_carry: bool = False) -> str:
    """The question in one sentence."""
    asked = _MAY_CARRY if asks_to_carry else _QUESTIONS[reason]
    return asked.format(
        whom=whom or "everyone in question",
        who=whom or "who",
        of=f" of {whom}" if whom else "",
        about=f" about {whom}" if whom else "",
        where=f" in game {game}" if game else "",
    )


def what(shown: TimelineEntry, zone: str) -> str:
    """What a statement says, without its player and its period."""
    statement, data = shown.statement, shown.data
    says = statement.says
    match statement.kind:
        case "countersign" if still := settling.despite(data):
            return f"{_PLAIN['countersign']}; open then: {still}"
        case "season_close" if still := settling.despite(data):
            return f"{stated.what(statement, zone)}; open then: {still}"
        case kind if kind in _PLAIN:
            return _PLAIN[kind]
        case "case_refer":
            return f"Passed to the {role_name(says['to_role'])}"
        case "ruling" if shown.is_own:
            return stated.what(statement, zone).replace(f" in case {says['case_id']}", "")
        case "station":
            reading, limit = words.pounds(data["reading_clb"]), words.pounds(data["limit_clb"])
            return f"The scale read {reading} with the check weight, and was set to {limit}"
        case "number_change":
            return f"New number: {says['number']}"
        case "roster_add" | "enter_player":
            return f"Added{stated.to_roster(says)}"
        case "excuse":
            return f"Excused from the minimum plays: {codes.EXCUSES[says['reason']]}"
        case "concern":
            return f"Noted and passed on: {codes.CONCERNS[says['reason']]}"
        case _:
            return stated.what(statement, zone)


def times(shown: TimelineEntry, zone: str, *, recorded_too: bool) -> str:
    """When it was written down, and with `recorded_too` when recorded, if that was not at once."""
    statement = shown.statement
    happened, entered, recorded = (
        local_time(utc, zone) for utc in (statement.happened, statement.entered, statement.recorded)
    )
    parts = [f"written down {entered}"] if entered != happened else []
    parts += [f"recorded {recorded}"] if recorded_too and recorded != entered else []
    return "; ".join(filter(None, [*parts, stated.lateness(asdict(statement))]))


def later(before: str, after: str) -> str:
    """How much later the second time is: "2 days 3 hours later"; "" for less than an hour."""
    minutes = minutes_between(before, after)
    if minutes < GAP_MINUTES:
        return ""
    days, rest = divmod(minutes, 24 * 60)
    hours, minutes = divmod(rest, 60)
    parts = [count_of(many, noun) for many, noun in ((days, "day"), (hours, "hour")) if many]
    parts += [f"{minutes} min"] if minutes and not days else []
    return f"{' '.join(parts)} later"


def eligible(row: Mapping[str, Any] | None, ruled_in: str = "") -> str:
    """A row of eligibility in words; "No row" for None. `ruled_in` names the cases of a ruling."""
    if row is None:
        return "No row"
    return words.upper_first(codes.row(row, with_basis=True, ruled_in=ruled_in))


def weighed(one: Statement) -> str:
    """A weigh in two words: "Not over", "Late: over"."""
    result = _RESULTS[one.says["value"]]
    return f"Late: {words.lower_first(result)}" if one.kind == "late_weigh" else result


def marked(one: Statement) -> str:
    """A mark in the book in short: "Over, initials CZ"."""
    return f"{_RESULTS[one.says['value']]}, initials {one.says['initials']}"


def crossed_off(when_and_by: str) -> str:
    """A line crossed off after the list was signed."""
    return f"crossed off {when_and_by}"


def done_later(kinds: Iterable[str]) -> list[str]:
    """What was entered about a player after the list was signed, besides the line itself."""
    return [_LATER[kind] for kind in dict.fromkeys(kinds) if kind in _LATER]


def shares(what: Shares, *, is_earlier: bool) -> str:
    """What another case has in common with this one: "Earlier, same player"."""
    shared = "roster question" if what == "roster" else what
    return f"{'Earlier' if is_earlier else 'Later'}, same {shared}"


def is_entered_by_name(player: str) -> bool:
    """Whether the id was made for a child who is on no roster."""
    return player.startswith(UNLISTED)


def known_as(player: str) -> str:
    """What follows a player's name where the id matters."""
    return " (entered by name)" if is_entered_by_name(player) else f" ({player})"


def looked_up(lead: Lead, name: str, *, is_named: bool) -> str:
    """What was looked up: "No. 30", "The name …", "The id k12"."""
    if lead.by == "number":
        return f"No. {lead.number}"
    if lead.by == "name":
        return f"The name {name}"
    which = f"The id {lead.player}"
    return which if is_named else f"{which}, {name}"


def plays_due(row: Mapping[str, Any]) -> str:
    """A row of exposure in words: "6 plays counted, 10 due: 4 short".

    Plays of the first half do not count for a player of the second.
    """
    status = codes.STATUSES[row["status"]]
    if row["recorded"] is None or row["status"] == "not_required":
        return words.upper_first(status)
    short = f"{row['short']} " if row["status"] == "short" else ""
    counted = f"{count_of(row['recorded'], 'play')} counted"
    counted += " after the first half" if row["due_for"] == "second_half" else ""
    return f"{counted}, {row['required']} due: {short}{status}"


def ruling(key: str, value: str) -> str:
    """What a ruling could say."""
    return codes.may_play(value) if key == "may_play" else codes.may_carry(value)
