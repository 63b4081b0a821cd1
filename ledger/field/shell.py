"""The page's HTML shell, its static files, and the text of its service worker.

Static files stand under a folder named by a digest of all their bytes: what a page loads fits
together, may be kept for good, and a new build has new addresses.
"""

from __future__ import annotations

import gzip
import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

import orjson
from jinja2 import Environment, FileSystemLoader, StrictUndefined

HERE = Path(__file__).resolve().parent
STATIC, TEMPLATES = HERE / "static", HERE / "templates"
WORKER, PRINTED, LANGUAGES, PRACTICE = "sw.js", "print.js", "words/", "practice/"
"""The worker, the script of pages that are printed, and the folders of translated texts and of what
only a practice loads."""
PRINTED_BAND = f"{PRACTICE}printed.css"
"""The band on pages that a practice prints."""
TYPES = {
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
}
"""Media types of the files that a browser may have; others in the folder are not served."""


_BLOCK = re.compile(rb"^[ \t]*/\*\*.*?\*/[ \t]*$", re.DOTALL | re.MULTILINE)
"""A block comment on lines of its own; one after code, or in a text, stays."""


@dataclass(frozen=True)
class StaticFile:
    """A file's bytes and media type."""

    data: bytes
    type: str

    @cached_property
    def packed(self) -> bytes:
        """The bytes as gzip, for a browser that takes it: four in ten."""
        return gzip.compress(self.data, 9, mtime=0)


@dataclass(frozen=True)
class Build:
    """All static files by path, and the digest of their bytes."""

    version: str
    files: Mapping[str, StaticFile]

    @property
    def kept(self) -> tuple[str, ...]:
        """The files that a page loads: all but the worker, which has an address of its own."""
        return tuple(n for n in self.files if n != WORKER and not n.startswith(PRACTICE))

    @property
    def of_practice(self) -> tuple[str, ...]:
        """The files that a practice page loads besides; no worker keeps them."""
        return tuple(name for name in self.files if name.startswith(PRACTICE))


@cache
def build() -> Build:
    """The static files, without what only readers of the modules need; read once in a process."""
    paths = sorted(path for path in STATIC.rglob("*") if path.suffix in TYPES)
    files = {
        path.relative_to(STATIC).as_posix(): StaticFile(_as_sent(path), TYPES[path.suffix])
        for path in paths
    }
    digest = hashlib.sha256()
    for name, file in (*files.items(), ("/", StaticFile(_shell_source(), ""))):
        digest.update(hashlib.sha256(name.encode()).digest())
        digest.update(hashlib.sha256(file.data).digest())
    return Build(digest.hexdigest()[:16], files)


def _as_sent(path: Path) -> bytes:
    """A module without its block comments, a seventh of it; its lines keep their numbers."""
    data = path.read_bytes()
    if path.suffix != ".js":
        return data
    return _BLOCK.sub(lambda found: b"\n" * found[0].count(b"\n"), data)


def static_file(version: str, name: str) -> StaticFile | None:
    """The file `/static/VERSION/NAME`; None if there is none in this build."""
    current = build()
    return current.files.get(name) if version == current.version and name != WORKER else None


@cache
def shell_html(*, practice: str = "") -> str:
    """The page. It holds no names and no answers: it is the same for everybody.

    With the id of a `practice`, it loads what that needs, and says what it is.
    """
    current = build()
    files = current.kept + (current.of_practice if practice else ())
    modules = [n for n in files if n.endswith(".js") and not n.startswith(LANGUAGES)]
    return (
        environment()
        .get_template("shell.html")
        .render(
            version=current.version,
            practice=practice,
            sheets=[name for name in files if name.endswith(".css") and name != PRINTED_BAND],
            first=[name for name in modules if "/" not in name and name != PRINTED],
            later=[name for name in modules if "/" in name],
        )
    )


def service_worker() -> str:
    """The text of `/sw.js`; served with `Cache-Control: no-cache`."""
    current = build()
    told = orjson.dumps({"version": current.version, "files": current.kept}).decode()
    return f"const BUILD = {told};\n{current.files[WORKER].data.decode()}"


@cache
def environment() -> Environment:
    """Templates of this room. What is filled in is escaped; `_` marks texts for the catalogue."""
    found = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined
    )
    found.globals["_"] = str
    return found


def _shell_source() -> bytes:
    return (TEMPLATES / "shell.html").read_bytes()
