"""What made a paper: the versions of our code and of the libraries that its bytes depend on.

Packages are asked by their metadata, so that nothing is imported for it. Pango and HarfBuzz are
libraries of the machine: they are asked themselves, by the names under which the typesetter opens
them. `zlib` is Python's, which the typesetter packs streams with; qpdf has its own and does not
say which. What cannot be asked is left out.
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable, Mapping
from functools import cache
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from zlib import ZLIB_RUNTIME_VERSION

from ledger.resources import PACKAGE, folder

PACKAGES = {
    "weighbook": "weighbook",
    "WeasyPrint": "weasyprint",
    "pydyf": "pydyf",
    "fonttools": "fonttools",
    "fonts": "manimgx-fonts",
    "pikepdf": "pikepdf",
}
_PANGO = (
    "libpango-1.0.so.0", "libpango-1.0.dylib", "libpango-1.0-0.dll", "libpango-1.0-0",
)  # fmt: skip
_HARFBUZZ = (
    "libharfbuzz.so.0", "libharfbuzz.0.dylib", "libharfbuzz-0.dll", "libharfbuzz-0",
)  # fmt: skip
_WRITTEN_BY_US = frozenset({".py", ".sql", ".html", ".css", ".conf"})


@cache
def versions() -> Mapping[str, str]:
    """Name to version, in the order of names; digests are SHA-256 in hex.

    `code` is the digest of our own Python and SQL files: a number is given to a release only.
    """
    asked: dict[str, Callable[[], str | None]] = {
        name: lambda package=package: _package(package)  # type: ignore[misc]
        for name, package in PACKAGES.items()
    }
    asked |= {
        "code": lambda: _digest(PACKAGE, folder("sql")),
        "templates": lambda: _digest(folder("report_templates")),
        "Pango": lambda: _library(_PANGO, "pango_version_string"),
        "HarfBuzz": lambda: _library(_HARFBUZZ, "hb_version_string"),
        "qpdf": _qpdf,
        "zlib": lambda: ZLIB_RUNTIME_VERSION,
    }
    answers = {name: ask() for name, ask in sorted(asked.items())}
    return {name: answer for name, answer in answers.items() if answer}


def _package(name: str) -> str | None:
    try:
        return version(name)
    except PackageNotFoundError:
        return None


def _library(names: tuple[str, ...], function: str) -> str | None:
    for name in names:
        try:
            ask = getattr(ctypes.CDLL(name), function)
        except (OSError, AttributeError):
            continue
        ask.restype = ctypes.c_char_p
        return str(ask().decode())
    return None


def _qpdf() -> str | None:
    import pikepdf

    told = getattr(pikepdf, "__libqpdf_version__", None)
    return str(told) if told else None


def _digest(*folders: Path) -> str:
    """Of every file that is ours in these folders, with its name, in the order of names."""
    whole = sha256()
    for top in folders:
        files = sorted(
            (path.relative_to(top).as_posix(), path)
            for path in top.rglob("*")
            if path.suffix in _WRITTEN_BY_US and "_data" not in path.relative_to(top).parts
        )
        for name, path in files:
            whole.update(f"{name}\n{sha256(path.read_bytes()).hexdigest()}\n".encode())
    return whole.hexdigest()
