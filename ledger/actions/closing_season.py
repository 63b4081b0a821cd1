"""What is asked before the season is closed: what is open in it, and in which games."""

from __future__ import annotations

from ledger.actions.asking import Acting, AskDespiteError
from ledger.store.store import Store


def ask_before_season_close(store: Store, acting: Acting) -> tuple[str, ...]:
    """The codes of what is open in the season; AskDespiteError if the person was not told."""
    # Late: DuckDB takes longer to import than most entries take.
    from ledger.derive.season_open import read_season_open
    from ledger.say.season_open import HEADING, open_lines

    found = read_season_open(store)
    if found.keys() <= acting.despite:
        return tuple(sorted(found))
    lines = open_lines(found)
    raise AskDespiteError(HEADING, found, lambda _: lines)
