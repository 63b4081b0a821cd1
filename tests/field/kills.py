"""A game is weighed while server and browser are killed at random moments.

Each tap that the page held (its promise resolved) must be in the ledger once, or wait on the
device: looked at after every kill, and at the end, when nothing waits any more. A tap whose page
died before it resolved may be there once or not at all.
"""

from __future__ import annotations

import os
import signal
import threading
import time
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from playwright.sync_api import BrowserContext, Error, Page, Playwright

from tests.field.browser.chromium import executable, options
from tests.field.browser.pages import kept, tap, wait_until_ready
from tests.field.site import Site

OFFICIAL = "marmots-wm1"
_LONGEST_S = 0.25
_KINDS: tuple[dict[str, str], ...] = (
    {"kind": "weigh", "value": "ok"},
    {"kind": "weigh", "value": "over"},
    {"kind": "list", "reason": "over"},
    {"kind": "stripe"},
)


@dataclass
class Morning:
    """What was tapped: `held` by ref what each held entry said, and how many taps died unheld."""

    held: dict[str, tuple[str, str]] = field(default_factory=dict)
    unheld: int = 0
    server_kills: int = 0
    browser_kills: int = 0
    faults: list[str] = field(default_factory=list)


class Phone:
    """A browser with a profile on disk, to be killed and opened again."""

    def __init__(self, playwright: Playwright, site: Site, profile: Path) -> None:
        self._playwright, self._site, self._profile = playwright, site, profile
        self.context: BrowserContext
        self.page: Page

    def open(self) -> None:
        self.context = self._playwright.chromium.launch_persistent_context(
            str(self._profile), executable_path=executable(), args=options()
        )
        self.page = self.context.pages[0]
        self.page.goto(f"{self._site.url}/#/waiting")
        wait_until_ready(self.page)

    def process(self) -> int:
        """The browser's own process: the one with this profile that no other of it started."""
        wanted = f"--user-data-dir={self._profile}".encode()
        for place in Path("/proc").glob("[0-9]*"):
            try:
                words = (place / "cmdline").read_bytes().split(b"\0")
            except OSError:
                continue
            if wanted in words and not any(word.startswith(b"--type=") for word in words):
                return int(place.name)
        raise LookupError("the browser is not running")

    def sign_in(self) -> None:
        """If nobody is: a browser that dies forgets a cookie of the last half minute."""
        me = self.context.request.get(f"{self._site.url}/api/me").json()
        if not me["people"]:
            self._site.sign_in(self.context, OFFICIAL)

    def after_a_kill(self) -> None:
        with suppress(Error):  # it is dead: that was the point
            self.context.close()
        for name in ("SingletonLock", "SingletonSocket", "SingletonCookie"):
            (self._profile / name).unlink(missing_ok=True)
        self.open()


def weigh_and_kill(playwright: Playwright, folder: Path, kills: int, seed: int) -> Morning:
    """Weigh until there were so many kills, half of them of the browser; then let all arrive."""
    draw, morning = Random(seed), Morning()
    with Site(folder) as site:
        phone = Phone(playwright, site, folder / "profile")
        phone.open()
        phone.sign_in()
        phone.page.reload()
        wait_until_ready(phone.page)
        opens_offline(phone.page)
        for _ in range(kills):
            _one_kill(site, phone, draw, morning)
            _look(site, phone, morning)
        _let_all_arrive(phone.page)
        _look(site, phone, morning, is_end=True)
        phone.context.close()
    return morning


def opens_offline(page: Page) -> None:
    page.locator("html[data-opens-offline=yes]").wait_for(state="attached")


def _one_kill(site: Site, phone: Phone, draw: Random, morning: Morning) -> None:
    is_server = draw.random() < 0.5
    assert site.process is not None
    victim = site.process.pid if is_server else phone.process()
    timer = threading.Timer(draw.random() * _LONGEST_S, os.kill, (victim, signal.SIGKILL))
    timer.start()
    died = False
    while timer.is_alive() or draw.random() < 0.7:
        try:
            _tap(phone.page, draw, morning)
        except Error:
            morning.unheld += 1
            died = True
            break
    timer.join()
    if is_server:
        morning.server_kills += 1
        if died:
            morning.faults.append("a tap was not held though only the server died")
        site.kill()
        if draw.random() < 0.5:
            _tap(phone.page, draw, morning)
        site.start()
    else:
        morning.browser_kills += 1
        phone.after_a_kill()
        phone.sign_in()


def _tap(page: Page, draw: Random, morning: Morning) -> None:
    cells = draw.sample(_KINDS, draw.randint(1, 2))
    player = f"k{draw.randint(1, 12)}"
    act = tap(page, *({"team": "newts", "player": player} | one for one in cells), by=OFFICIAL)
    for entry in act["entries"]:
        morning.held[entry["ref"]] = entry["kind"], entry["player"]


def _look(site: Site, phone: Phone, morning: Morning, *, is_end: bool = False) -> None:
    """First what waits, then what is recorded: an act may move on in between, never back."""
    waiting = [entry["ref"] for act in kept(phone.page) for entry in act["entries"]]
    recorded = {event.data["ref"]: (event.kind, event.player) for event in site.stated()}
    counts = Counter(event.data["ref"] for event in site.stated())
    for ref, said in morning.held.items():
        if ref not in recorded and ref not in waiting:
            morning.faults.append(f"{ref} is lost")
        if ref in recorded and recorded[ref] != said:
            morning.faults.append(f"{ref} says {recorded[ref]}, it was {said}")
    twice = [ref for ref, count in counts.items() if count > 1]
    morning.faults += [f"{ref} is recorded more than once" for ref in twice]
    if is_end and waiting:
        morning.faults.append(f"{len(waiting)} still wait at the end")


def _let_all_arrive(page: Page) -> None:
    until = time.monotonic() + 60
    while kept(page) and time.monotonic() < until:
        page.wait_for_timeout(200)
