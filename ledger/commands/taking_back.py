"""Withdrawing a weigh: what came along with it, and whether that goes too."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING

import click

from ledger.commands.asking import say_open
from ledger.commands.shared import store_words, to_stderr

if TYPE_CHECKING:
    from ledger.store.store import Store


def coming_along(store: Store, entry: Mapping[str, str | None]) -> list[dict[str, str | None]]:
    """More entries to withdraw with this one: asked at a terminal, otherwise told.

    A script's own word stands: only what it names is taken back.
    """
    from ledger.actions.coming_along import left_behind
    from ledger.say.recorded import said_shortly
    from ledger.store.league import league_zone

    by = str(entry["by"])
    found = left_behind(store, str(entry["target"]), by)
    if not found:
        return []
    ids = [one.id for one in found]
    lines = said_shortly(store, ids, str(found[0].game), league_zone(store))
    say_open("Entered along with it, and still standing:", lines)
    if not sys.stdin.isatty():
        to_stderr("To take that back too:")
        for one in ids:
            to_stderr(
                f"  weighbook record withdraw --target {one} --by {by}{store_words()} --reason …"
            )
        return []
    # No default: only the official knows whether the mark was made by mistake as well.
    if not click.confirm("Take that back too?", default=None, err=True):
        return []
    return [{**entry, "target": one, "ref": None} for one in ids]
