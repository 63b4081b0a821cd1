"""The tables and the league's rules, as far as the ledger held them: one row that counts each."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from tests.reference.roles import Role
from tests.reference.statements import AnEvent


class SetUp:
    """`events`: the set-up recorded by then, in ledger order. `league` is None where it has none.

    "The tables count always, corrections of them by their `entered`." "A correction is an event of
    the row's kind with ... `entered` ...; of a row's events the latest in ledger order with
    `entered` <= T counts, else the first." `corrects` names the event that brought the row in.
    """

    def __init__(self, events: Sequence[AnEvent], as_of: str | None) -> None:
        rows: dict[str, list[AnEvent]] = defaultdict(list)
        for event in events:
            own_id = f"{event['chain']}:{event['seq']}"
            rows[event["data"].get("corrects", own_id)].append(event)
        self._rows: dict[str, list[AnEvent]] = defaultdict(list)
        for of_row in rows.values():
            row = _that_counts(of_row, as_of)
            self._rows[row["kind"]].append(row)
        self.roles = [
            Role(row["data"]["official"], row["data"]["role"], row.get("team"))
            for row in self._rows["official"]
        ]
        leagues = self._rows["league"]
        self.league: Mapping[str, Any] | None = leagues[0]["data"] if leagues else None

    def rows(self, kind: str) -> list[AnEvent]:
        """ "The league not there yet: no rows": then nothing was held that anybody could read."""
        return [] if self.league is None else self._rows[kind]


def _that_counts(of_row: Sequence[AnEvent], as_of: str | None) -> AnEvent:
    corrections = [event for event in of_row if "entered" in event]
    heard = [event for event in corrections if as_of is None or event["entered"] <= as_of]
    first = next((event for event in of_row if "entered" not in event), of_row[0])
    return heard[-1] if heard else first
