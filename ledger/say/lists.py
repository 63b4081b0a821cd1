"""Words of a team's list: before the weigh-in, in a game that is off, about a stray signature."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any

from ledger.derive.list_doubts import Doubt
from ledger.derive.list_state import Decided, ListState
from ledger.derive.statements import Role
from ledger.errors import count_of
from ledger.record.authority import role_name
from ledger.say import codes, procedure
from ledger.say.stated import role
from ledger.say.words import jersey, join, lower_first, pounds, upper_first

NEITHER_SIDE = "For neither side"
DOES_NOT_COUNT = "Does not count for a side"


def signature_of(team: str, side: str) -> str:
    """A signature that a side gives or owes to a team's list."""
    return f"list of {team}, signature of {side}"


def called_off(by: str, roles: Sequence[str], at: str) -> str:
    """Who called a game off, and when."""
    held = join([role_name(one) for one in dict.fromkeys(roles)])
    when = f"{'on' if ',' in at else 'at'} {at}"
    return f"{f'{by} ({held})' if held else by} called it off {when}."


def off_lines(reason: str, weighed: int, listed: int) -> tuple[str, ...]:
    """Why the game is off, and what was entered about this team all the same."""
    lines = [f"Reason: {reason}{'' if reason.endswith('.') else '.'}"] if reason else []
    if weighed or listed:
        weighs = f"{count_of(weighed, 'player')} {'was' if weighed == 1 else 'were'} weighed"
        lines.append(f"{weighs} and {listed} listed. The entries stay on record.")
    return tuple(lines)


NO_SIGNATURE = "No signature entered."
"""In the room of a side that has not signed, when the game is over."""
NOT_WEIGHED = "Not weighed yet."
"""The large words on a list before its weigh-in."""


def printed_lines(count: int, new: int, more_reasons: Sequence[int | None]) -> str:
    """What signatures are to: "9 printed lines; reason added since signing: No. 39".

    `new` lines came after a signature, and so did a reason of the players with these numbers.
    """
    if not count:
        return "an empty list"
    said = (
        f"{count_of(count, 'printed line')}{f', {new} of them added since signing' if new else ''}"
    )
    if not more_reasons:
        return said
    named = join([f"No. {jersey(number)}" for number in more_reasons])
    return f"{said}; reason added since signing: {named}"


def added_when(signatures: int, *, is_signed: bool) -> str:
    """When lines are added by hand, by the signatures given."""
    if is_signed:
        return "after signing"
    return "after the first signature" if signatures else "before signing"


def what_to_do_first(opens: str) -> tuple[str, ...]:
    """The lines under `NOT_WEIGHED`; `opens` is when the weigh-in opens."""
    return (
        f"Weigh-in opens at {opens}. Print this list again before signing.",
        "To write by hand, use the blank list.",
    )


def weighed_by(state: ListState) -> str:
    """What those did who are named as weighmasters."""
    if not state.came:
        return "Weighed by"
    return "Weighed or checked in by" if state.weighed else "Checked in by"


def listed_only(state: ListState) -> str:
    """What the number of players counts who have a line and no result."""
    return "Listed, no check-in" if state.came else "Listed, not weighed"


def weighed(state: ListState) -> str:
    """ "22 of 23"; beside it who is not on the roster, and who came to a scale out of use."""
    named = join([_called(one) for one in state.strangers])
    others = f", and {named}, not on the roster" if named else ""
    came = f"; {state.came} came, scale out of use" if state.came else ""
    return f"{state.weighed} of {state.roster}{others}{came}"


def checks(state: ListState, clock: Callable[[str], str], team_name: Callable[[str], str]) -> str:
    """Each check of the scale: "10 lb at 8:25 AM CDT", with what was not as it should be; and from
    when on the scale was out of use.
    """
    told = [(row, _check(row, clock(row["happened_at"]))) for row in state.stations]
    told += [(row, f"out of use from {clock(row['happened_at'])}") for row in state.scale_outs]
    placed = [((row["happened_at"], int(row["happened_rank"])), words) for row, words in told]
    for team, came in groupby(state.unannounced, key=itemgetter(0)):
        times = [at for _, at in came]
        placed.append(((times[0], 0), _unannounced(team_name(team), times, clock)))
    return "; ".join(words for _, words in sorted(placed))


def _unannounced(team: str, times: Sequence[str], clock: Callable[[str], str]) -> str:
    """ "no scale for 5 players of Ash Trees, 11:00 to 11:02 AM"."""
    first, last = clock(times[0]), clock(times[-1])
    start, _, half = first.partition(" ")
    until = last if last.partition(" ")[2] == half else ""
    span = first if first == last else f"{start} to {until}" if until else f"{first} to {last}"
    return f"no scale for {count_of(len(times), 'player')} of {team}, {span}"


def _check(row: Mapping[str, Any], at: str) -> str:
    said = f"{pounds(row['reading_clb'])} at {at}"
    wrong = [] if row["is_passing"] else ["does not pass"]
    if row["limit_clb"] != row["due_limit_clb"]:
        due = pounds(row["due_limit_clb"]).removesuffix(" lb")
        wrong.append(f"set to {pounds(row['limit_clb'])}, not {due}")
    return f"{said} ({join(wrong)})" if wrong else said


def _called(one: Decided) -> str:
    number = one.row["number"]
    return "one without a number" if number is None else f"No. {number}"


def stranger(one: Decided) -> tuple[str, str]:
    """A player who came to the scale and is on no roster of this team, and what to do."""
    todo = "Write it down. The office settles it, away from the scale."
    return f"Not on the roster; {_came(one)}.", todo


def twin(other: Decided) -> str:
    """Beside a player whose number another player has: what holds for the other."""
    return f"Another player with {_called(other)} {_was(_came(other))}. Go by name."


def doubt(one: Doubt, league: Mapping[str, Any]) -> tuple[str, str]:
    """Weighs on a scale out of use or set to another limit, and what to do."""
    how = "scale out of use"
    if one.limit_clb is not None:
        how = f"scale set to {pounds(one.limit_clb)}"
    what = f"Weighed {codes.weigh_mark(one.value)}, {how}."
    return what, f"Ask {procedure.first_to_ask(league)} what counts."


def not_settled(one: Doubt) -> str:
    """The same in the few words that fit beside a line."""
    how = "out of use" if one.limit_clb is None else f"set to {pounds(one.limit_clb)}"
    return f"not settled: scale {how}"


def doubt_line(one: Doubt, league: Mapping[str, Any]) -> str:
    """The same with its players, for a screen: "No. 18 and No. 21: weighed ok while …"."""
    what, todo = doubt(one, league)
    return f"{join([_called(player) for player in one.players])}: {lower_first(what)} {todo}"


def _came(one: Decided) -> str:
    if one.counts is None:
        return "not weighed"
    value = one.counts.says["value"]
    return "came, no scale" if value == "no_scale" else f"weighed {codes.weigh_mark(value)}"


def _was(came: str) -> str:
    return came if came.startswith("came") else f"was {came}"


def as_nobody(roles: Sequence[Role]) -> str:
    """Who signed without being a weighmaster of either side."""
    held = join([role(one) for one in roles]) or "no role on record"
    return f"{upper_first(held)}. Only a side's own weighmaster signs for it."
