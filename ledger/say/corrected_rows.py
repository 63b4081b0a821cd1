"""A correction of a table that was recorded, in a sentence."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ledger.chain.event import Event
from ledger.say.clock import local_time

if TYPE_CHECKING:  # it brings DuckDB along, which `status` does without
    from ledger.say.stated import NameOf


def correction_content(event: Event, name_of: NameOf) -> dict[str, Any]:
    """A correction for JSON."""
    return {
        "event": event.id,
        "table": "league.toml" if event.kind == "league" else f"{event.kind}s.csv",
        "row": _row_id(event),
        "by": {"official": event.by, "name": name_of(event.by or "")},
        "entered": event.entered,
    }


def corrected(content: Mapping[str, Any], zone: str) -> str:
    """ "games.csv corrected for g1, Sun, Sep 6, 2026, 7:00 AM CDT, by Ada Fir (office:24)." """
    row = f" for {content['row']}" if content["row"] else ""
    when = local_time(content["entered"], zone)
    return (
        f"{content['table']} corrected{row}, {when}, by {content['by']['name']} "
        f"({content['event']})."
    )


def _row_id(event: Event) -> str | None:
    """The id in the row's first column; an official's row has a team, too."""
    if event.kind == "official":
        return str(event.data["official"])
    return event.player or event.game or event.team or event.data.get("division")
