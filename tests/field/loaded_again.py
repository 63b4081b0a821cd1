"""What devices stated, loaded once more as a season folder: the answers must be equal."""

from __future__ import annotations

import csv
import shutil
from contextlib import closing
from pathlib import Path
from typing import Any

from ledger import open_ledger
from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.record.fields import COLUMNS
from ledger.store.opening import open_store
from tests.tiny import load


def expect_equal_answers(ledger: Path, game: str, folder: Path) -> None:
    """The answers, and those of a ledger that loads the same statements from day files."""
    shutil.copytree(ledger.parent / "season", folder)
    (folder / "days").mkdir(exist_ok=True)
    with closing(open_store(ledger)) as store:
        texts: dict[str, dict[str, str]] = {}
        for one in store.disclosures():
            texts.setdefault(one.event_id, {})[one.field] = open_disclosure(one.text).value
        events = [one.event for one in store.events() if one.event.at is not None]
    places = {event.id: event for event in events}
    with (folder / "days" / "01.csv").open("w", newline="") as file:
        writer = csv.DictWriter(file, list(COLUMNS))
        writer.writeheader()
        writer.writerows(_line(event, texts.get(event.id, {}), places) for event in events)
    load(folder / "again.weighbook", folder)
    one, other = open_ledger(ledger), open_ledger(folder / "again.weighbook")
    for name, rows in (
        ("eligibility", lambda it: it.eligibility(game)),
        ("exposure", lambda it: it.exposure(game)),
        ("book", lambda it: it.book("drums")),
        ("book of kites", lambda it: it.book("kites")),
        ("findings", lambda it: it.findings(game=game)),
    ):
        left, right = (rows(it).drop(columns="events", errors="ignore") for it in (one, other))
        assert len(left) or name == "findings"
        assert left.to_dict("records") == right.to_dict("records"), name


def _line(event: Event, texts: dict[str, str], known: dict[str, Event]) -> dict[str, Any]:
    """The line of a day file that says what the event says."""
    said = {key: value for key, value in event.data.items() if key in COLUMNS} | texts
    for pounds in ("reading", "limit"):
        if (clb := event.data.get(f"{pounds}_clb")) is not None:
            said[pounds] = f"{clb // 100}.{clb % 100:02}"
    if target := event.data.get("target"):
        said["target"] = known[target].data["ref"]
    own = {"at": event.at, "entered": event.entered, "kind": event.kind, "by": event.by}
    where = {"game": event.game, "team": event.team, "player": event.player}
    return {key: value for key, value in (said | own | where).items() if value is not None}
