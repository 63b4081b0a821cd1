"""Ordinary commands only, after both have signed: each with every time that it may state.

In the chain of the signatures, in a new one, and in a new one under a clock set back. A statement
about a signed list that claims to be older than the signature is a finding, whether it changes the
list or not. Whatever changes the list is told by the signature's state. Nobody has to notice what
leaves the list as it was signed; a clock set back is noted all the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from tests.audit.attacks.attack import FINDING, NOTE, SAME, STATE, Attack, Outcome
from tests.audit.attacks.signed_morning import NOW, SET_BACK, Command, after, holes, look

Cells = Mapping[str, str]
BEFORE, AFTER, FAR, LATE = "before", "after", "long before", "before, entered now"
TIMES = {
    BEFORE: ("2026-09-05T14:20:00Z", "2026-09-05T14:20:00Z"),
    AFTER: ("2026-09-05T15:10:00Z", "2026-09-05T15:10:00Z"),
    FAR: ("2026-08-30T12:00:00Z", "2026-08-30T12:00:00Z"),
    LATE: ("2026-09-05T14:20:00Z", NOW),
}
WORDS = {
    BEFORE: "dated before the signatures",
    AFTER: "dated after the signatures",
    FAR: "dated long before the game",
    LATE: "of something before the signatures, entered now",
}
WAYS = {
    "in their chain": ("office", NOW),
    "in a new chain": ("tent", NOW),
    "in a new chain under a clock set back": ("tent", SET_BACK),
}
SIGNATURES = 3


@dataclass(frozen=True)
class Try:
    """Some commands, whether a list turns on them by kind, and at which times it does."""

    name: str
    commands: Sequence[Cells]
    is_about_list: bool
    changes: frozenset[str]


def _says(kind: str, **cells: str) -> Cells:
    if kind in (
        "weigh",
        "late_weigh",
        "initial",
        "list",
        "strike_off",
        "stripe",
        "plays",
        "ruling",
    ):
        cells = {"game": "g1", "team": "ash"} | cells
    return {"kind": kind, "by": "we"} | cells


def _undo(target: str, by: str = "we") -> Cells:
    return {"kind": "withdraw", "target": f"@{target}", "by": by, "reason": "a slip"}


EVER, NEVER = frozenset(TIMES), frozenset[str]()
ONE, TWO = {"player": "a1"}, {"player": "a2"}
_A1_OK = _says("weigh", value="ok", **ONE)
_MARK = _says("initial", value="ok", initials="WE", **ONE)
_INJURED = _says("list", reason="injured", **TWO)
_CASE = _says("case_open", case="c1", reason="weigh", by="ca", game="g1", team="ash", **ONE)
_RULING = _says("ruling", case="c1", value="upheld", may_carry="yes", **ONE)
ABOUT_LIST = {
    "a second weigh": ([_A1_OK], {FAR}),  # only the first weigh counts
    "a weigh": ([_says("weigh", value="ok", **TWO)], EVER),
    "a late weigh": ([_says("late_weigh", value="ok", **TWO)], EVER),
    "a mark": ([_MARK], {FAR}),  # as is the first mark, which is g2's
    "a listing": ([_INJURED], EVER),
    "a line struck off": ([_says("strike_off", reason="over", **ONE)], {BEFORE, AFTER, LATE}),
    "a stripe": ([_says("stripe", **TWO)], NEVER),
    "a weigh withdrawn": ([_undo("weigh")], EVER),
    "a mark withdrawn": ([_undo("mark")], EVER),
    "a listing withdrawn": ([_undo("over")], EVER),
    "an absence withdrawn": ([_undo("absent", "wa")], EVER),
    "a stripe withdrawn": ([_undo("stripe")], NEVER),
    "a withdrawal withdrawn": ([_undo("undone", "wa")], EVER),
    "a withdrawal withdrawn again": ([_undo("over"), _undo("1")], NEVER),
    "a listing, withdrawn": ([_INJURED, _undo("1")], NEVER),
    "the six commands": (
        [_undo("weigh"), _undo("mark"), _undo("over"), _undo("stripe"), _A1_OK, _MARK], EVER,
    ),
}  # fmt: skip
AROUND = {
    "a game moved": (
        [_says("game_change", game="g2", reason="rain", kickoff="2026-09-04T10:00", by="dp")], EVER,
    ),
    "a game called off": ([_says("game_off", game="g1", reason="rain", by="dp")], EVER),
    "a half": ([_says("half", game="g1", half="1", by="pc")], {FAR}),
    "a player added": ([_says("roster_add", team="ash", player="u1", number="9", by="rg")], EVER),
    "a player dropped": ([_says("roster_drop", team="ash", by="rg", **TWO)], EVER),
    "a number changed": ([_says("number_change", team="ash", number="7", by="rg", **ONE)], EVER),
    "a player entered": (
        [_says("enter_player", player="x8", name="Bo Fern", team="ash", number="8", by="rg")], EVER,
    ),
    "a ruling": ([_CASE, _RULING | {"by": "dp"}], EVER),
    "a ruling without authority": ([_CASE, _RULING], NEVER),
    "oneself appointed, and a ruling": (
        [_says("appoint", value="we", to="division_president"), _CASE, _RULING], NEVER,
    ),
    "a weighmaster appointed": (
        [_says("appoint", value="ca", to="weighmaster", team="elm", by="rg")], NEVER,
    ),
    "a signature withdrawn": ([_undo("wa in g1", "wa")], EVER),
    "a signature of a day's paper": ([_says("countersign", game="g1", team="ash")], NEVER),
    "plays": ([_says("plays", half="1", count="4", by="pc", **ONE)], NEVER),
    "plays of somebody else": ([_says("plays", half="1", count="4", by="pc", player="u1")], EVER),
    "the weigh-in closed": ([_says("close", game="g1", team="ash")], NEVER),
    "the season closed": ([_says("season_close", by="rg")], NEVER),
    "the other team's weigh": ([_says("weigh", team="elm", player="e1", value="ok")], NEVER),
}  # fmt: skip
TRIES = [
    Try(name, commands, about, frozenset(changes))
    for about, group in ((True, ABOUT_LIST), (False, AROUND))
    for name, (commands, changes) in group.items()
]


SOME = {"a late weigh", "a listing withdrawn", "the six commands", "a ruling", "plays"}
MOVED_BY_TIME = {"a second weigh", "a mark", "a line struck off", "a half"}
ALL = {*ABOUT_LIST, *AROUND}
TRIED = [
    (BEFORE, "in their chain", ALL),
    (BEFORE, "in a new chain", SOME),
    (BEFORE, "in a new chain under a clock set back", {*ABOUT_LIST} | SOME),
    (AFTER, "in their chain", ALL),
    (AFTER, "in a new chain under a clock set back", SOME),
    (FAR, "in their chain", SOME | MOVED_BY_TIME),
    (LATE, "in their chain", SOME),
]


def attacks() -> Iterator[Attack]:
    for time, way, names in TRIED:
        for one in TRIES:
            if one.name in names:
                yield Attack(
                    f"ordinary commands after both have signed, {WORDS[time]}, {way}",
                    f"{one.name}, {WORDS[time]}, {way}",
                    _who(one, time, way),
                    outcome=partial(_try, given(one.commands, time, way)),
                )


def given(commands: Sequence[Cells], time: str, way: str) -> list[Command]:
    at, entered = TIMES[time]
    return [Command({"at": at, "entered": entered} | cells, *WAYS[way]) for cells in commands]


def _who(one: Try, time: str, way: str) -> str:
    if one.is_about_list and time in (BEFORE, FAR):
        return FINDING
    if time in one.changes:
        return STATE
    return NOTE if WAYS[way][1] == SET_BACK else SAME


def _try(commands: Sequence[Command]) -> Outcome:
    with after(commands) as (store, recorded):
        seen = look(store)
    assert not holes(seen), holes(seen)
    with_key = [one.state for one in seen.signatures.values() if one.row["how"] == "key"]
    classes: set[str] = {*with_key} - {"stands"}
    classes |= {"no signature"} if len(with_key) < SIGNATURES else set()
    states = bool(classes)
    if found := seen.behind & set(recorded):
        classes.add("stated_behind_signature")
    noted = [note for note in seen.notes if "tent:1" in note and "clocks disagree" in note]
    if noted:
        classes.add("note of the clock")
    noticed_by = FINDING if found else STATE if states else NOTE if noted else SAME
    return Outcome(noticed_by, frozenset(classes), False)
