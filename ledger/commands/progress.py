"""A progress bar on standard error, for work that takes longer than a glance."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import ExitStack

import click

WORTH_A_BAR = 20_000


class Bar(ExitStack):
    """A bar that shows itself only where there is much to do and somebody to see it."""

    def __init__(self, label: str) -> None:
        super().__init__()
        self._label = label
        self._update: Callable[[int], None] = lambda count: None

    def start(self, length: int) -> None:
        """Show the bar, if `length` steps are worth one; again: from the beginning."""
        self.close()
        if length >= WORTH_A_BAR and sys.stderr.isatty():
            shown = click.progressbar(length=length, label=self._label, file=sys.stderr)
            self._update = self.enter_context(shown).update

    def step(self, count: int) -> None:
        """Say that `count` more steps are done."""
        self._update(count)
