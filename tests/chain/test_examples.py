"""Every example in a docstring of the chain is true."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import ledger.chain


@pytest.mark.parametrize("name", [m.name for m in pkgutil.iter_modules(ledger.chain.__path__)])
def test_examples(name: str) -> None:
    module = importlib.import_module(f"ledger.chain.{name}")
    assert doctest.testmod(module).failed == 0
