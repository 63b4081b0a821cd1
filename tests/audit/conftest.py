"""Pure functions that remember what they gave: nearly the same file is audited again and again."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Any

import pytest

from ledger.chain import event, keys

PURE: tuple[Callable[..., Any], ...] = (event.parse_event, keys.check_signature)
"""The same bytes give the same event, frozen; the same signature is right or refused again."""


@pytest.fixture(scope="module")
def remembering() -> Iterator[None]:
    """Each room's name for a pure function stands for one that remembers; errors come anew."""
    with pytest.MonkeyPatch.context() as patch:
        for function in PURE:
            remembers = lru_cache(maxsize=50_000)(function)
            for name, module in list(sys.modules.items()):
                if name.startswith("ledger.") and vars(module).get(function.__name__) is function:
                    patch.setattr(module, function.__name__, remembers)
        yield
