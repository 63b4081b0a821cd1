"""Goes to any state of `states.py` on a device that is signed in as it asks.

Devices that only look are shared by all their states. A state that leaves something begins on a
device that holds nothing, and from which no tap reaches the server. All clocks stand still.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page

from tests.field.browser import mornings
from tests.field.browser.mornings import DATE, PLAYERS, SIGNED
from tests.field.browser.pages import MODULE
from tests.field.browser.states import State
from tests.field.site import Site
from tests.once import made_once

PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
DESK = {"viewport": {"width": 1280, "height": 800}}
DEVICES = {
    "nobody": (),
    "president": ("acorn-president",),
    "weigher": ("newts-wm1",),
    "two": ("newts-wm1", "newts-wm2"),
    "on phone": ("newts-wm2",),
    "unconfirmed": ("newts-wm3",),
    "counter": ("newts-pc1",),
    "third counter": ("marmots-pc1",),
    "site": ("site-glimmerfen",),
    "one game": ("pangolins-wm1",),
    "stranger": ("quokkas-wm1",),
}
_BLANK = "#/start-here"
_FORGET = f"""async () => {{
  const {{ transact }} = await import({MODULE} + "db.js");
  for (const name of ["acts", "device", "shape", "keys"])
    await transact([name], "readwrite", (store) => store.clear());
}}"""
_NO_ACTS = """
const asked = fetch;
globalThis.fetch = (url, how) =>
  String(url).endsWith("/api/acts") && !globalThis.answering
    ? Promise.reject(new TypeError("no network"))
    : asked(url, how);
"""
"""Not by a route: where Playwright routes, the browser keeps no file, and every page loads anew."""
_GO = f"async (hash) => (await import({MODULE} + 'main.js')).app.go(hash)"


def morning_site(folder: Path) -> Site:
    return Site(folder, "mornings", mornings.make)


class Tour:
    """`with tour.at(state) as page`: the page in that state, until the block ends."""

    def __init__(self, site: Site, browser: Browser) -> None:
        self.site, self.browser = site, browser
        self.signed = (made_once("mornings", mornings.make) / SIGNED).read_text()
        self._cookies: dict[str, Any] = {}
        self._pages: dict[tuple[str, str], Page] = {}
        self._president: BrowserContext | None = None
        self._opened = 0

    @contextmanager
    def at(self, state: State, looks: Mapping[str, Any] = PHONE) -> Iterator[Page]:
        place = state.place.format(
            signed=self.signed, **{f"p{number}": player for number, player in PLAYERS.items()}
        )
        page = self._page(state, looks)
        try:
            page.clock.set_fixed_time(state.now)
            if place.startswith("/"):
                page.goto(f"{self.site.url}{place}")
            elif state.own:
                self._begin_anew(page, state.who)
                self._open(page, f"#/{place}")
            else:
                page.evaluate(_GO, f"#/{place}")
            if state.do is not None:
                page.locator("main[aria-busy]").wait_for(state="detached")
                state.do(page)
            page.locator(state.sees).first.wait_for()
            page.locator("main[aria-busy], .felt").wait_for(state="detached")
            yield page
        finally:
            if state.own:
                page.unroute_all()
                page.context.set_offline(False)

    def close(self) -> None:
        for context in {page.context for page in self._pages.values()}:
            context.close()

    def _page(self, state: State, looks: Mapping[str, Any]) -> Page:
        use = "own" if state.own else "shared" if state.screen else "print"
        key = f"{use} {state.who}", repr(looks)
        if key not in self._pages:
            self._pages[key] = page = self._device(state.who, looks).new_page()
            if state.own:
                page.add_init_script(_NO_ACTS)
            if state.screen:
                page.clock.set_fixed_time(state.now)
                self._open(page, _BLANK)
        return self._pages[key]

    def _begin_anew(self, page: Page, who: str) -> None:
        page.evaluate(_FORGET)
        page.context.clear_cookies()
        page.context.add_cookies(self._cookies[who])

    def _open(self, page: Page, place: str) -> None:
        self._opened += 1
        page.goto(f"{self.site.url}/?date={DATE}&opened={self._opened}{place}")
        page.locator("html[data-ready]").wait_for(state="attached")

    def _device(self, who: str, looks: Mapping[str, Any]) -> BrowserContext:
        context = self.browser.new_context(**looks)
        if who not in self._cookies:
            self._sign_in(context, who)
            self._cookies[who] = context.cookies()
        context.add_cookies(self._cookies[who])
        return context

    def _sign_in(self, context: BrowserContext, who: str) -> None:
        for official in DEVICES[who]:
            if who == "president":
                self.site.sign_in(context, official)
                continue
            said = self.site.post(context, "/api/sign-in", {"official": official})
            if who != "unconfirmed":
                code = next(one["code"] for one in said["people"] if one["official"] == official)
                self._confirm(official, code)

    def _confirm(self, official: str, code: str) -> None:
        if self._president is None:
            self._president = self._device("president", {})
        self.site.post(self._president, "/api/confirm", {"official": official, "code": code})
