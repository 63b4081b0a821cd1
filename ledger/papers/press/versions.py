"""The versions of our code and of the libraries that a paper's bytes depend on.

Packages have their versions in metadata, without an import. Pango and HarfBuzz are the machine's
libraries, opened by the same names as the typesetter opens them. `zlib` is Python's, which packs
the typesetter's streams; qpdf's own does not tell its version. Unknown versions are left out.
"""

from __future__ import annotations

import ctypes
from collections.abc import Mapping
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
    "Pillow": "pillow",
}
_PANGO = (
    "libpango-1.0.so.0", "libpango-1.0.dylib", "libpango-1.0-0.dll", "libpango-1.0-0",
)  # fmt: skip
HARFBUZZ = (
    "libharfbuzz.so.0", "libharfbuzz.0.dylib", "libharfbuzz-0.dll", "libharfbuzz-0",
)  # fmt: skip
HARFBUZZ_SUBSET = tuple(name.replace("harfbuzz", "harfbuzz-subset") for name in HARFBUZZ)
_WRITTEN_BY_US = frozenset({".py", ".sql", ".html", ".css", ".conf", ".toml"})


@cache
def versions() -> Mapping[str, str]:
    """Versions by name, sorted; digests are SHA-256 in hex.

    `code` is a digest of our Python and SQL files, since only releases have a number.
    """
    answers = {name: _package(package) for name, package in PACKAGES.items()} | {
        "code": _digest(PACKAGE, folder("sql")),
        "templates": _digest(folder("report_templates")),
        "Pango": _library(_PANGO, "pango_version_string"),
        "HarfBuzz": _library(HARFBUZZ, "hb_version_string"),
        "qpdf": _qpdf(),
        "zlib": ZLIB_RUNTIME_VERSION,
    }
    return {name: answer for name, answer in sorted(answers.items()) if answer}


def _package(name: str) -> str | None:
    try:
        return version(name)
    except PackageNotFoundError:
        return None


def _library(names: tuple[str, ...], function: str) -> str | None:
    ask = getattr(open_library(names), function, None)
    if ask is None:
        return None
    ask.restype = ctypes.c_char_p
    return str(ask().decode())


def open_library(names: tuple[str, ...]) -> ctypes.CDLL | None:
    """The library under the first of these names that the machine knows."""
    for name in names:
        try:
            return ctypes.CDLL(name)
        except OSError:
            continue
    return None


def _qpdf() -> str | None:
    try:
        import pikepdf
    except (ImportError, OSError):  # a page for a browser needs no PDF library
        return None
    return getattr(pikepdf, "__libqpdf_version__", None)


def _digest(*folders: Path) -> str:
    """The digest of all our files in these folders and their names, in the order of names."""
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
