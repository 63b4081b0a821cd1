"""The tables and the league's rules, as far as the ledger held them: one row that counts each."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from tests.reference.roles import Role
from tests.reference.statements import AnEvent

# where a row's id is; an official's line has none
TOP_LEVEL = ("team", "player", "game")


class SetUp:
    """`events`: the set-up recorded by then, in ledger order. `league` is None where it has none.

    "The tables count always, corrections of them by their `entered`." "A correction is an event of
    the row's kind with ... `entered` ...; of a row's events the latest in ledger order with
    `entered` <= T counts, else the first." Corrections of an official's line are not read: which
    line one stands for is left open.
    """

    def __init__(self, events: Sequence[AnEvent], as_of: str | None) -> None:
        rows: dict[tuple[str, str | None], list[AnEvent]] = defaultdict(list)
        self.roles: list[Role] = []
        for event in events:
            kind, data = event["kind"], event["data"]
            if kind == "official":
                if "entered" not in event:
                    self.roles.append(Role(data["official"], data["role"], event.get("team")))
            else:
                own_id = event[kind] if kind in TOP_LEVEL else data.get("division")
                rows[kind, None if kind == "league" else own_id].append(event)
        self._rows: dict[str, dict[str | None, AnEvent]] = defaultdict(dict)
        for (kind, own_id), of_row in rows.items():
            self._rows[kind][own_id] = _that_counts(of_row, as_of)
        league = self._rows["league"].get(None)
        self.league: Mapping[str, Any] | None = None if league is None else league["data"]

    def rows(self, kind: str) -> list[AnEvent]:
        """ "The league not there yet: no rows": then nothing was held that anybody could read."""
        return [] if self.league is None else list(self._rows[kind].values())


def _that_counts(of_row: Sequence[AnEvent], as_of: str | None) -> AnEvent:
    corrections = [event for event in of_row if "entered" in event]
    heard = [event for event in corrections if as_of is None or event["entered"] <= as_of]
    first = next((event for event in of_row if "entered" not in event), of_row[0])
    return heard[-1] if heard else first
