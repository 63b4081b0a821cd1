"""What both sides settle before a team's weigh-in is closed and its list is printed or signed.

It is what the list prints as open (`ledger.derive.list_state`), and the findings about lines and
stripes. A child who may not play needs no line struck off and no stripe, one whom a ruling lets
carry needs no stripe either, and one whom a ruling keeps from carrying keeps line and stripe: such
findings ask for no step, so they are left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.list_doubts import OUT_OF_USE, Doubt, read_doubts
from ledger.derive.list_state import Decided, ListState, read_list_state

_OPEN = {
    "over": "noncarrier_not_listed",
    "undecided": "carrier_undecided",
    "missing": "unaccounted",
    "ruled": "",
    "not_playing": "",
}
"""The finding that says what the list prints as open; "" for what both sides need only be told."""
LINES = ("listed_over_weighed_ok", "not_struck_off", "injured_but_weighed")
STRIPES = ("noncarrier_not_striped", "carrier_striped")
_OF_NONCARRIERS = ("noncarrier_not_listed", "noncarrier_not_striped")
_OF_CARRIERS = ("listed_over_weighed_ok", "carrier_striped")
"""Findings that go by the weigh alone; a ruling may say otherwise."""
CODES = (*filter(None, _OPEN.values()), *LINES, *STRIPES)


@dataclass(frozen=True)
class ToSettle:
    """A finding about a player of the list; `code` is "" if there is nothing to do but tell."""

    code: str
    decided: Decided


@dataclass(frozen=True)
class Settling:
    """What is to be settled about a team's list, in the order of `CODES`, then by number.

    A signature names what `items` say, not the `doubts`: reviewers settle those.
    """

    game: str
    team: str
    state: ListState
    items: tuple[ToSettle, ...]
    doubts: tuple[Doubt, ...] = ()

    def codes_of(self, player: str) -> tuple[str, ...]:
        """What is to be settled about this player, in the order of `CODES`."""
        return tuple(one.code for one in self.items if one.decided.row["player"] == player)

    @property
    def codes(self) -> tuple[str, ...]:
        """The findings that a signature names as shown, each once, in code point order."""
        return tuple(sorted({one.code for one in self.items if one.code}))


def read_settling(engine: Engine, game: str, team: str) -> Settling:
    """What is to be settled now; nothing for a game that is off."""
    state = read_list_state(engine, game, team)
    items = [ToSettle(_OPEN[one.open_for], one) for one in state.open if one.open_for]
    of = {one.row["player"]: one for one in state.players}
    found = find(engine, game=game, team=team, among=(*LINES, *STRIPES, OUT_OF_USE)).dicts()
    for row in found:
        if row["rule"] == OUT_OF_USE:
            continue
        decided = of[row["player"]]
        if has_step(row["rule"], decided.row):
            items.append(ToSettle(row["rule"], decided))
    doubts = read_doubts(state, {row["player"] for row in found if row["rule"] == OUT_OF_USE})
    return Settling(game, team, state, tuple(sorted(items, key=_place)), doubts)


def has_step(rule: str, row: Mapping[str, Any]) -> bool:
    """Whether a finding of this rule asks for a step, given the player's row of eligibility."""
    if rule not in CODES or rule == "unaccounted":
        return True
    settled = {"yes": _OF_NONCARRIERS, "no": _OF_CARRIERS}.get(row["may_carry"], ())
    return row["may_play"] != "none" and rule not in settled


def _place(item: ToSettle) -> int:
    return CODES.index(item.code) if item.code else len(CODES)
