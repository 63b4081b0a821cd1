"""What a rule of `sql/findings/` says about itself, in words a committee can read.

The keys are in sql/README.md, section 14. Counting the findings of a rule about a child counts
children. A finding about a team shows one statement that stands for the whole team.
"""

from __future__ import annotations

from dataclasses import dataclass

from ledger.derive.findings import refuse_unknown
from ledger.derive.queries import queries
from ledger.errors import ReportError

ABOUT = ("child", "team", "scale", "game", "case", "season")
AREAS = ("plays", "scale", "people", "order", "book", "list", "stripes", "late", "signatures",
         "rosters", "reviews", "entries")  # fmt: skip
"""The parts of the procedure, as a board reads them: plays first, then as a morning goes."""


DUE = ("kickoff", "end")
"""Until when the step of a rule may still be to do: the game's kickoff, or its end."""
RIGHTS = ("may_play", "may_carry")


@dataclass(frozen=True)
class RuleHeader:
    """One rule: what it finds, what the procedure asks, the source of that, and who should look.

    `also` are other parts of the procedure than `area` that it says something of. `sentence` says
    of one finding what was seen. `right` is what a ruling on the child must say to settle it;
    None if none does. `todo` is the step still to do; None for a rule that finds slips. `due`:
    until when the step may still come; None if it is due at once.
    """

    rule: str
    what: str
    procedure: str
    source: str
    look: tuple[str, ...]
    grain: str
    about: str
    area: str
    also: tuple[str, ...]
    sentence: str
    events: tuple[str, ...]
    reason: str
    right: str | None
    todo: str | None
    due: str | None
    columns: tuple[str, ...]


def rule_header(rule: str) -> RuleHeader:
    """Return the header of the rule's file.

    InputError for an unknown rule, ReportError for one about something not in ABOUT, of a part of
    the procedure not in AREAS, about a right not in RIGHTS, or due at a moment not in DUE.
    """
    refuse_unknown(rule)
    query, header = queries()[rule], queries()[rule].header
    if header["about"] not in ABOUT:
        raise ReportError(f"{rule}.sql: about is one of {', '.join(ABOUT)}")
    also = tuple(header["also"].split(", ")) if "also" in header else ()
    for key, areas in (("area", (header["area"],)), ("also", also)):
        if not {*areas} <= {*AREAS}:
            raise ReportError(f"{rule}.sql: {key} is one of {', '.join(AREAS)}")
    for key, known in (("right", RIGHTS), ("due", DUE)):
        if header.get(key, known[0]) not in known:
            raise ReportError(f"{rule}.sql: {key} is one of {', '.join(known)}")
    return RuleHeader(
        rule=rule,
        what=header["purpose"],
        procedure=header["procedure"],
        source=header["source"],
        look=tuple(header["look"].split(", ")),
        grain=header["grain"].removeprefix("one row per "),
        about=header["about"],
        area=header["area"],
        also=also,
        sentence=header["sentence"],
        events=tuple(header["events"].split(", ")),
        reason=header["reason"],
        right=header.get("right"),
        todo=header.get("todo"),
        due=header.get("due"),
        columns=query.columns,
    )
