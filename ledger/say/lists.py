"""Words of a team's list: before the weigh-in, in a game that is off, about a stray signature."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ledger.derive.list_state import ListState
from ledger.derive.statements import Role
from ledger.errors import count_of
from ledger.record.authority import role_name
from ledger.say.stated import role
from ledger.say.words import join, pounds, upper_first

NEITHER_SIDE = "For neither side"
DOES_NOT_COUNT = "Does not count for a side"


def signature_of(team: str, side: str) -> str:
    """A signature that a side gives or owes to a team's list."""
    return f"list of {team}, signature of {side}"


def called_off(by: str, roles: Sequence[str], at: str) -> str:
    """Who called a game off, and when."""
    held = join([role_name(one) for one in dict.fromkeys(roles)])
    return f"{f'{by} ({held})' if held else by} called it off, {at}."


def off_lines(reason: str, team: str, weighed: int, listed: int) -> tuple[str, ...]:
    """Why the game is off, and what was entered about this team all the same."""
    lines = [f"The reason given: {reason}{'' if reason.endswith('.') else '.'}"] if reason else []
    if weighed or listed:
        weighs = f"{count_of(weighed, 'player')} of {team} {'was' if weighed == 1 else 'were'}"
        lines.append(f"{weighs} weighed and {listed} listed for it. Both stay in the ledger.")
    return tuple(lines)


def not_weighed_yet(state: ListState) -> str:
    """The large words on a list before its weigh-in; "" after it began."""
    if not state.is_before_weigh_in:
        return ""
    return f"Not weighed yet: 0 of {state.roster}. Do not sign."


def weighed(state: ListState) -> str:
    """ "22 of 23"; beside it who is not on the roster, and who came to a scale out of use."""
    others = f", and {state.weighed_others} not on the roster" if state.weighed_others else ""
    came = f"; {state.came} came, scale out of use" if state.came else ""
    return f"{state.weighed} of {state.roster}{others}{came}"


def checks(state: ListState, clock: Callable[[str], str]) -> str:
    """Each check of the scale: "10 lb at 8:25 AM CDT", with what was not as it should be; and from
    when on the scale was out of use.
    """
    told = [(row, _check(row, clock(row["happened_at"]))) for row in state.stations]
    told += [(row, f"out of use from {clock(row['happened_at'])}") for row in state.scale_outs]
    said = [words for _, words in sorted(told, key=lambda one: int(one[0]["happened_rank"]))]
    if state.came and not state.scale_outs:
        said.append("out of use, time not entered")
    return "; ".join(said)


def _check(row: Mapping[str, Any], at: str) -> str:
    said = f"{pounds(row['reading_clb'])} at {at}"
    wrong = [] if row["is_passing"] else ["does not pass"]
    if row["limit_clb"] != row["due_limit_clb"]:
        wrong.append(f"set to {pounds(row['limit_clb'])}")
    return f"{said} ({join(wrong)})" if wrong else said


def as_nobody(roles: Sequence[Role]) -> str:
    """Who signed without being a weighmaster of either side."""
    held = join([role(one) for one in roles]) or "no role on record"
    return f"{upper_first(held)}. Only its own weighmaster signs for a side."
