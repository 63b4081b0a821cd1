"""Whose officials a finding is for: weighmasters by their entries about the child it shows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from functools import cached_property
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.rule_header import rule_header

Row = Mapping[str, Any]


class Acting:
    """Teams by finding. Most roles are of no team: nothing tells which of their officials acts."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def teams(self, row: Row) -> tuple[str, ...]:
        """The teams whose officials look first, sorted; none if a role without a team does.

        An association's president has a finding about one of its teams, or about an official of one
        in the game. A missing signature is for the side that owes it. Where no entry about the
        child is a weighmaster's, both teams of the game count.
        """
        first = rule_header(row["rule"]).look[0]
        if first == "association_president":
            own = {row["team"]} if row["team"] else self._teams_of[row["game"], row["official"]]
            return tuple(sorted(own))
        if first != "weighmasters" or row["game"] is None:
            return ()
        if row["side"]:
            return (row["side"],)
        told = [self.stated[event] for event in row["events"] if event in self.stated]
        entered = {one["stated_by"] for one in told if one["player"] == row["player"]}
        held = {team for by in entered for team in self.weighmaster_of[row["game"], by]}
        return tuple(sorted(held or self._sides[row["game"]]))

    @cached_property
    def stated(self) -> dict[str, Row]:
        """The statements by event id."""
        return {row["event_id"]: row for row in self._engine.answer("statements").dicts()}

    @cached_property
    def weighmaster_of(self) -> defaultdict[tuple[str, str], set[str]]:
        """By game and official, the teams whose weighmaster the official is in it."""
        return self._held("weighmaster")

    @cached_property
    def _teams_of(self) -> defaultdict[tuple[str, str], set[str]]:
        return self._held("weighmaster", "coach")

    def _held(self, *roles: str) -> defaultdict[tuple[str, str], set[str]]:
        held: defaultdict[tuple[str, str], set[str]] = defaultdict(set)
        for row in self._engine.answer("side_role").dicts():
            if row["role"] in roles:
                held[row["game"], row["official"]].add(row["team"])
        return held

    @cached_property
    def _sides(self) -> dict[str, set[str]]:
        rows = self._engine.answer("game").dicts()
        return {row["game"]: {row["home"], row["visitor"]} for row in rows}
