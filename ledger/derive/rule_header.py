"""What a rule of `sql/findings/` says about itself, in words a committee can read.

    -- procedure: …      what the procedure asks
    -- source: …         where that comes from
    -- about: child      what a finding concerns, one word of ABOUT
    -- events: weigh     kinds of statements that a finding points at; any: every kind
    -- look: …           roles that should look, as in officials.csv, or the game's "weighmasters"
    -- reason: weigh     the reason of a case that is opened from a finding
    -- todo: …           the step that is not entered yet, if a finding says no more than that

A rule about a child names a player in each finding, so that to count its findings is to count
children. One about a team shows some statement that stands for the whole team. One about the scale
concerns everybody weighed on it.
"""

from __future__ import annotations

from dataclasses import dataclass

from ledger.derive.findings import refuse_unknown
from ledger.derive.queries import queries
from ledger.errors import ReportError

ABOUT = ("child", "team", "scale", "game", "case", "season")


@dataclass(frozen=True)
class RuleHeader:
    """One rule: what it raises, what the procedure asks, where that comes from, who should look.

    `todo` is None for a rule whose finding is no step that is merely still to come.
    """

    rule: str
    what: str
    procedure: str
    source: str
    look: tuple[str, ...]
    grain: str
    about: str
    events: tuple[str, ...]
    reason: str
    todo: str | None
    columns: tuple[str, ...]


def rule_header(rule: str) -> RuleHeader:
    """The header of the rule's file; InputError for a rule that there is no file for.

    Raises ReportError for a rule about something that is not in ABOUT.
    """
    refuse_unknown(rule)
    header = queries()[rule].header
    if header["about"] not in ABOUT:
        raise ReportError(f"{rule}.sql: about is one of {', '.join(ABOUT)}")
    return RuleHeader(
        rule=rule,
        what=header["purpose"],
        procedure=header["procedure"],
        source=header["source"],
        look=tuple(header["look"].split(", ")),
        grain=header["grain"].removeprefix("one row per "),
        about=header["about"],
        events=tuple(header["events"].split(", ")),
        reason=header["reason"],
        todo=header.get("todo"),
        columns=queries()[rule].columns,
    )
