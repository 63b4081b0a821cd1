"""What a rule of `sql/findings/` says about itself, in words a committee can read.

The words come from the header of the rule's own file, so that they cannot differ from it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from ledger.derive.findings import refuse_unknown
from ledger.derive.queries import queries

_SOURCE = re.compile(r"\s*\(((?:common practice|source:)(?:[^()]|\([^()]*\))*)\)")


@dataclass(frozen=True)
class RuleHeader:
    """One rule: what it raises, what the procedure asks, where that comes from, who should look.

    `look` holds roles as officials.csv has them; "weighmasters" are those of the game.
    """

    rule: str
    what: str
    procedure: str
    source: str
    look: tuple[str, ...]
    grain: str


def rule_header(rule: str) -> RuleHeader:
    """The header of the rule's file; InputError for a rule that there is no file for."""
    refuse_unknown(rule)
    header = queries()[rule].header
    source = "; ".join(found.removeprefix("source: ") for found in _SOURCE.findall(header["rule"]))
    return RuleHeader(
        rule=rule,
        what=header["purpose"],
        procedure=_SOURCE.sub("", header["rule"]),
        source=source,
        look=tuple(part.strip() for part in header["look"].split(",")),
        grain=header["grain"].removeprefix("one row per "),
    )
