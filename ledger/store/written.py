"""What this process has recorded for good, to report when someone stops it.

Ctrl-C can come at any moment after a commit: the commit itself fills the list, nobody else has to
remember it.
"""

from __future__ import annotations

WRITTEN: list[str] = []
"""The ids of the events that were committed, in that order."""


def in_words() -> str:
    """ "office:7305", "office:1 to office:7298, tent:2"; '' where nothing was recorded."""
    runs: list[list[str]] = []
    for event_id in WRITTEN:
        chain, _, seq = event_id.rpartition(":")
        if runs and runs[-1][-1] == f"{chain}:{int(seq) - 1}":
            runs[-1].append(event_id)
        else:
            runs.append([event_id])
    return ", ".join(run[0] if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs)
