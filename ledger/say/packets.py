"""A packet's sentences: the question, a statement, time that passed, eligibility, plays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from ledger.errors import count_of
from ledger.record.authority import role_name
from ledger.record.times import moment_of
from ledger.review.timeline import TimelineEntry
from ledger.say import codes, stated, words
from ledger.say.clock import local_time

GAP_MINUTES = 60
"""From this gap on, a statement says how much later it is; the number is our own choice."""

_QUESTIONS = {
    "roster": "Who was {who}{where}: which player belongs to which number and roster?",
    "weigh": "Did the weigh-in{of}{where} follow the rules, and if not, what happens now?",
    "plays": "Did {whom}{where} get the plays that were due, and if not, what happens now?",
    "safety": "Is what people saw{where} safe, and what should be done?",
    "protest": "Is the protest{about}{where} right, and if so, what happens now?",
    "other": "What should be done about this question{about}{where}?",
}

_PLAIN = {
    "case_statement": "Said",
    "case_exhibit": "Handed in a file",
    "case_close": "Closed the case",
    "case_open": "Asked the question",
    "at_scale": "Stood at the scale",
    "countersign": "Signed the team's list as it was",
    "close": "Closed the team's weigh-in",
}


def question(reason: str, whom: str, game: str) -> str:
    """The question in one sentence."""
    return _QUESTIONS[reason].format(
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
        case kind if kind in _PLAIN:
            return _PLAIN[kind]
        case "case_refer":
            return f"Passed to the {role_name(says['to_role'])}"
        case "ruling":
            return stated.what(statement, zone).replace(f" in case {says['case_id']}", "")
        case "station":
            reading, limit = words.pounds(data["reading_clb"]), words.pounds(data["limit_clb"])
            return f"The scale read {reading} with the check weight, and was set to {limit}"
        case "number_change":
            return f"New number: {says['number']}"
        case "roster_add" | "enter_player":
            return f"Added{stated.to_roster(says)}"
        case "snaps":
            return f"Snaps in {codes.HALVES[says['half']]} so far: {says['count']}"
        case "excuse":
            return f"Excused from the minimum plays: {codes.EXCUSES[says['reason']]}"
        case "concern":
            return f"Noted and passed on: {codes.CONCERNS[says['reason']]}"
        case _:
            return stated.what(statement, zone)


def times(shown: TimelineEntry, zone: str, *, recorded_too: bool) -> str:
    """When it was written down and recorded, if that was not at once."""
    statement = shown.statement
    happened, entered, recorded = (
        local_time(utc, zone) for utc in (statement.happened, statement.entered, statement.recorded)
    )
    parts = [f"written down {entered}"] if entered != happened else []
    parts += [f"recorded {recorded}"] if recorded_too and recorded != entered else []
    return "; ".join(filter(None, [*parts, stated.lateness(asdict(statement))]))


def later(before: str, after: str) -> str:
    """How much later the second time is: "2 days 3 hours later"; "" for less than an hour."""
    minutes = int((moment_of(after) - moment_of(before)).total_seconds() // 60)
    if minutes < GAP_MINUTES:
        return ""
    days, rest = divmod(minutes, 24 * 60)
    hours, minutes = divmod(rest, 60)
    parts = [count_of(many, noun) for many, noun in ((days, "day"), (hours, "hour")) if many]
    parts += [f"{minutes} min"] if minutes and not days else []
    return f"{' '.join(parts)} later"


def eligible(row: Mapping[str, Any] | None) -> str:
    """A row of eligibility in words; "No row" for None."""
    return "No row" if row is None else words.upper_first(codes.row(row, with_basis=True))


def plays_due(row: Mapping[str, Any]) -> str:
    """A row of exposure in words: "6 plays counted, 10 due: 4 short"."""
    status = codes.STATUSES[row["status"]]
    if row["recorded"] is None or row["status"] == "not_required":
        return words.upper_first(status)
    short = f"{row['short']} " if row["status"] == "short" else ""
    return f"{count_of(row['recorded'], 'play')} counted, {row['required']} due: {short}{status}"


def ruling(key: str, value: str) -> str:
    """What a ruling could say."""
    return codes.may_play(value) if key == "may_play" else codes.may_carry(value)
