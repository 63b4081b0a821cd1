"""Weighs of a list that rest on a scale out of use or set to another limit.

A scale set too low says "over" too soon; set too high, "ok". The other answer holds all the more,
so it is in no doubt, and neither is a player for whom a reviewer has ruled on carrying.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from ledger.derive.list_state import Decided, ListState

OUT_OF_USE = "scale_used_after_out"
"""The finding about a weigh on a scale that was out of use."""


@dataclass(frozen=True)
class Doubt:
    """Players whose weigh said the same on the same scale: set to `limit_clb`, None: out of use."""

    value: str
    limit_clb: int | None
    players: tuple[Decided, ...]


def read_doubts(state: ListState, out_of_use: Collection[str]) -> tuple[Doubt, ...]:
    """The doubts about a team's weighs; `out_of_use` are the players of the finding of that name.

    In the order of their first player.
    """
    found: dict[tuple[str, int | None], list[Decided]] = {}
    for one in state.players:
        if one.counts is None or one.carry_ruling or one.row["may_play"] == "none":
            continue
        value = one.counts.says["value"]
        limit = _wrong_limit(state, one)
        if value != "no_scale" and (limit is not None or one.row["player"] in out_of_use):
            found.setdefault((value, limit), []).append(one)
    return tuple(Doubt(*key, tuple(players)) for key, players in found.items())


def _wrong_limit(state: ListState, one: Decided) -> int | None:
    """The limit that the scale was set to, if it puts what this weigh said in doubt."""
    weigh = one.counts
    assert weigh is not None
    before = [row for row in state.stations if row["happened_at"] <= weigh.happened]
    if not before:
        return None
    last = max(before, key=lambda row: int(row["happened_rank"]))
    is_low = last["limit_clb"] < last["due_limit_clb"]
    is_high = last["limit_clb"] > last["due_limit_clb"]
    said_by = {"over": is_low, "ok": is_high}
    return int(last["limit_clb"]) if said_by.get(weigh.says["value"], False) else None
