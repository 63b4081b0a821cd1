"""Pure functions that remember their results, because the tests audit similar files many times."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Any

import pytest

from ledger.chain import checkpoint, event, keys, note

PURE: tuple[Callable[..., Any], ...] = (
    event.parse_event,
    keys.check_signature,
    note.parse_note,
    note.parse_verifier_key,
    checkpoint.parse_checkpoint,
)
"""What they give is frozen, and the same for the same bytes."""


@pytest.fixture(scope="module")
def remembering() -> Iterator[None]:
    """Replace each room's pure functions by ones that remember results, but not errors."""
    with pytest.MonkeyPatch.context() as patch:
        for function in PURE:
            remembers = lru_cache(maxsize=50_000)(function)
            for name, module in list(sys.modules.items()):
                if name.startswith("ledger.") and vars(module).get(function.__name__) is function:
                    patch.setattr(module, function.__name__, remembers)
        yield
