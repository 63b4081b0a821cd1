"""A progress bar on standard error, for long work."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import ExitStack

import click

WORTH_A_BAR = 20_000


class Bar(ExitStack):
    """A bar that appears only for long work, and only at a terminal."""

    def __init__(self, label: str) -> None:
        super().__init__()
        self._label = label
        self._update: Callable[[int], None] = lambda count: None

    def start(self, length: int) -> None:
        """Show the bar from the beginning, if `length` steps are worth one."""
        self.close()
        if length >= WORTH_A_BAR and sys.stderr.isatty():
            shown = click.progressbar(length=length, label=self._label, file=sys.stderr)
            self._update = self.enter_context(shown).update

    def step(self, count: int) -> None:
        """Count `count` more steps as done."""
        self._update(count)
