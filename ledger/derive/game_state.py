"""Where each game stands now: moved or off, weighed, signed by whom, what is missing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.derive.called_off import called_off
from ledger.derive.engine import Engine
from ledger.derive.findings import find, rules
from ledger.derive.looking import by_due
from ledger.derive.rule_header import rule_header
from ledger.derive.settling import has_step

WEIGH_IN = "weigh_in"


@dataclass(frozen=True)
class SideState:
    """A side of a game: players on its roster at kickoff, and how many of them were weighed."""

    team: str
    weighed: int
    roster: int


@dataclass(frozen=True)
class GameState:
    """A game as it stands. `sides` are the visitors, then the home team; times are UTC text.

    `scheduled` is the kickoff of games.csv. `off` is the statement that called the game off.
    `signed_by` are rows of `list_signatures`, and `signatures` counts lists and sides among them.
    `missing` and `still` count the findings of each rule that has a step: due by now, and later;
    `WEIGH_IN` is the whole weigh-in.
    """

    game: str
    kickoff: str
    scheduled: str
    site: str | None
    sides: tuple[SideState, SideState]
    is_off: bool
    off: Mapping[str, Any] | None
    signatures: int
    signed_by: Sequence[Mapping[str, Any]]
    missing: Mapping[str, int]
    still: Mapping[str, int]


def steps() -> list[str]:
    """The rules that find a step of the procedure missing, not a slip."""
    headers = map(rule_header, rules())
    return [one.rule for one in headers if one.todo or one.due or one.rule == "half_not_stated"]


def game_states(engine: Engine, *, now: str, zone: str, game: str | None = None) -> list[GameState]:
    """Every game in order of kickoff, or this one alone. The engine has the events they need."""
    own = [r for r in engine.answer("game_status").dicts() if game in (None, r["game"])]
    rights = {
        (row["game"], row["team"], row["player"]): row
        for row in engine.answer("eligibility").dicts()
    }
    rows = [
        row
        for row in find(engine, game=game, among=steps()).dicts()
        if has_step(row["rule"], rights.get((row["game"], row["team"], row["player"]), _ANYONE))
    ]
    due, later = by_due(engine, rows, now=now, zone=zone)
    signed = engine.answer("list_signatures").dicts()
    return [
        GameState(
            game=row["game"],
            kickoff=row["kickoff_at"],
            scheduled=row["scheduled_at"],
            site=row["site"],
            sides=(_side(row, "visitor"), _side(row, "home")),
            is_off=row["is_off"],
            off=called_off(engine, row["game"]) if row["is_off"] else None,
            signatures=row["signatures"],
            signed_by=[one for one in signed if one["game"] == row["game"]],
            missing=_counts(due, row, is_due=now >= row["kickoff_at"]),
            still=_counts(later, row, is_due=now < row["kickoff_at"]),
        )
        for row in own
    ]


_ANYONE = {"may_play": "full", "may_carry": "no"}


def _side(row: Mapping[str, Any], side: str) -> SideState:
    return SideState(row[side], row[f"{side}_weighed"], row[f"{side}_roster"])


def _counts(
    found: Sequence[Mapping[str, Any]], row: Mapping[str, Any], *, is_due: bool
) -> Mapping[str, int]:
    """The findings of a game by rule; its weigh-in if that `is_due` and nobody was weighed."""
    counts = Counter(one["rule"] for one in found if one["game"] == row["game"])
    is_weighed = row["home_weighed"] or row["visitor_weighed"]
    return {WEIGH_IN: 1} | counts if is_due and not (row["is_off"] or is_weighed) else counts
