"""Debian's Chromium: where it is, how it starts, and what nothing on our pages may do."""

from __future__ import annotations

import re
import shutil
from urllib.parse import urlsplit

from playwright.sync_api import BrowserContext, ConsoleMessage, Page, Request, WebError

NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
"""The shell first: without the windows around a page, a page costs a quarter."""
OURS = frozenset({"127.0.0.1", "localhost"})


def executable() -> str:
    found = next(filter(None, map(shutil.which, NAMES)), None)
    assert found, "Chromium is missing: sh .ci/system python3 browser"
    return found


def options() -> list[str]:
    """It asks nobody for updates, lists or translations, and runs as root in a container too."""
    return [
        "--no-sandbox",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-default-apps",
        "--disable-sync",
        "--no-first-run",
        "--no-pings",
    ]


class Guard:
    """Listens to a context. What a test brings about on purpose it names with `expect`."""

    def __init__(self, context: BrowserContext, *names: str) -> None:
        self._ours = OURS | {*names}
        self.found: list[str] = []
        self._expected: list[str] = []
        context.on("console", self._console)
        context.on("weberror", self._error)
        context.on("request", self._request)
        _GUARDS[context] = self

    def expect(self, *patterns: str) -> None:
        self._expected += patterns
        self.found = [one for one in self.found if not self._is_expected(one)]

    def _add(self, text: str) -> None:
        if not self._is_expected(text):
            self.found.append(text)

    def _is_expected(self, text: str) -> bool:
        return any(re.search(pattern, text) for pattern in self._expected)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self._add(f"console: {message.text}")

    def _error(self, error: WebError) -> None:
        self._add(f"page: {error.error}")

    def _request(self, request: Request) -> None:
        place = urlsplit(request.url)
        if place.scheme not in ("data", "blob") and place.hostname not in self._ours:
            self._add(f"request to another host: {place.hostname}")


_GUARDS: dict[BrowserContext, Guard] = {}

OFFLINE = "net::ERR_"


def expect_trouble(where: BrowserContext | Page, *patterns: str) -> None:
    """The console of this context may say this: patterns such as OFFLINE or "503"."""
    context = where.context if isinstance(where, Page) else where
    _GUARDS[context].expect(*patterns)
