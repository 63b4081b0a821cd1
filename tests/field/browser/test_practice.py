"""One minute of practice, played by hand on a phone; and every scene of the ten ends."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from ledger.say.practice_morning import YOU
from ledger.say.practice_scenes import PASSPHRASE, TEN, all_scenes
from tests.field.browser import checks
from tests.field.browser.chromium import OFFLINE, expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.line import DEAD_MS
from tests.field.browser.pages import (
    call,
    expect_saved,
    opened,
    tap,
    wait_until_ready,
    weigh,
)
from tests.field.site import Practicing, Site

SWINGS_MS, READS_MS, HESITATES_MS = 4100, 6000, 12_000


@pytest.fixture(scope="module")
def practice() -> Iterator[Practicing]:
    with Practicing() as begun:
        yield begun


class Volunteer:
    """Hands and eyes on a practice page. `found` are problems of the looks on the way."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.found: list[str] = []

    def hears(self, text: str) -> None:
        expect(self.page.locator(".latest")).to_contain_text(text)

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=re.compile(f"^{name}")).click()
        self.page.clock.fast_forward(DEAD_MS)

    def tile(self, number: int) -> None:
        self.page.locator(".tile", has_text=re.compile(f"^{number} ?$")).click()
        expect(self.page.locator(".child")).to_be_visible()

    def wait(self, milliseconds: int) -> None:
        self.page.clock.fast_forward(milliseconds)

    def expect_ways_above_the_bar(self) -> None:
        """On no phone are the five ways beside the answers under the bar at the thumb."""
        before = self.page.viewport_size
        assert before is not None
        for size in ({"width": 360, "height": 640}, before):
            self.page.set_viewport_size(size)
            lowest = max(box(one)["bottom"] for one in self.page.locator(".beside button").all())
            assert lowest <= box(self.page.locator(".thumb"))["top"], size

    def look(self, *, tab: bool = False) -> None:
        """What everybody must see and reach; and the band, on every screen."""
        expect(self.page.locator("main[aria-busy]")).to_have_count(0)
        expect(self.page.locator(".band")).to_have_text(
            re.compile("PRACTICE. Nothing here counts.")
        )
        expect(self.page.locator(".band")).to_be_visible()
        here = self.page.locator("main").get_attribute("data-screen")
        page = self.page
        found = checks.by_axe(page) + checks.in_the_dark(page) + checks.layout(page)
        found += checks.narrow(page) + (checks.tabbing(page) if tab else [])
        self.found += [f"{here}: {one}" for one in found]


def box(place: Locator) -> dict[str, float]:
    found: dict[str, float] = place.evaluate("node => node.getBoundingClientRect().toJSON()")
    return found


@contextmanager
def still(page: Page, place: str) -> Iterator[None]:
    """Nothing under a finger moves in this block."""
    before = page.locator(place).bounding_box()
    yield
    assert page.locator(place).bounding_box() == before


@pytest.mark.long
def test_one_minute(practice: Practicing, phone: Maker) -> None:
    page = phone().new_page()
    page.clock.install()
    page.goto(practice.url)
    wait_until_ready(page)
    one = Volunteer(page)
    expect(page.get_by_role("heading")).to_have_text("Practice the weigh-in")
    one.look(tab=True)

    one.press("One minute")
    one.hears("Press Start weighing")
    one.press("Start weighing")
    one.wait(READS_MS)
    one.hears("Number 8, Olive")
    one.tile(8)
    expect(page.get_by_text("First game: your answer also marks the book")).to_be_visible()
    one.expect_ways_above_the_bar()
    with still(page, ".answers .ok"):
        one.wait(SWINGS_MS)
        one.hears("It floats below the upper stop")
    one.look()
    one.press("OK")
    one.wait(READS_MS)
    one.hears("Number 12, Felix")
    one.tile(12)
    one.press("OVER")
    one.press("Tape is on")
    one.wait(SWINGS_MS)
    one.hears("It rests at the upper stop")
    one.wait(READS_MS)
    one.hears("You read 21")
    one.tile(21)
    one.wait(SWINGS_MS)
    one.hears("It floats")
    one.press("OK")
    one.wait(READS_MS)
    one.hears("it says 27")
    one.wait(HESITATES_MS)
    one.hears("Press Take back 21")
    page.reload()
    wait_until_ready(page)
    expect(page.locator(".says")).to_contain_text("it says 27")
    one.hears("Press Take back 21")
    one.press("(Book marked ok. ?)?Take back 21")
    one.tile(27)
    one.press("OK")
    one.wait(READS_MS)
    expect(page.get_by_role("heading", level=1)).to_have_text("Thank you. That was the practice.")
    missed = page.locator(".lessons li")
    expect(missed).to_have_count(1)
    expect(missed).to_contain_text(
        "You answered before the beam rested with that child on it. Numbers: 12."
    )
    expect(missed).to_contain_text("Next time:")
    expect(page.get_by_text("The wrong tap was taken back")).to_be_visible()
    one.look(tab=True)
    one.press("Ten minutes")
    one.hears("About half an hour to go")
    expect(page.get_by_text("Check weight: not read yet.")).to_be_visible()
    page.get_by_role("link", name="Stop").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("You stopped here.")
    page.get_by_role("link", name="Go on where you were").click()
    one.hears("About half an hour to go")
    assert (
        page.evaluate("navigator.serviceWorker.getRegistrations().then((all) => all.length)") == 0
    )
    assert one.found == []


class Morning:
    """The ten minutes, stated as screens do, without going through them."""

    def __init__(self, one: Volunteer) -> None:
        self.one, self.page = one, one.page
        told = call(self.page, "api.js", "get", "/api/practice")
        self.game, self.team, self.own = told["game"], told["team"], told["own"]
        self.prefix = f"m{self.game.rpartition('-')[2]}-"

    def go(self, place: str) -> None:
        self.page.evaluate("to => { location.hash = to }", f"#/game/{self.game}/{place}")

    def state(self, *entries: Mapping[str, Any]) -> None:
        tap(self.page, *map(dict, entries), by=YOU, game=self.game)

    def about(self, key: str) -> dict[str, str]:
        if key == "unlisted-33":
            return {"team": self.team, "number": "33", "name": "Pia Pepper"}
        return {"team": self.team, "player": self.prefix + key}

    def weigh(self, key: str, value: str, kind: str = "weigh") -> None:
        self.state({"kind": kind, **self.about(key), "value": value})

    def check_scale(self, scene: Mapping[str, Any]) -> None:
        self.go(f"scale/{self.team}")
        expect(self.page.locator("main[data-screen=scale]")).to_be_visible()
        self.state({"kind": "station", "reading": "10", "limit": "95"})
        for _ in scene["lines"][1:]:
            self.page.locator(".choices button").click()
            self.one.wait(DEAD_MS)
        self.go(f"weigh/{self.team}")

    def entries(self) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = call(self.page, "api.js", "get", f"/api/games/{self.game}")[
            "entries"
        ]
        return found

    def fix(self) -> None:
        (wrong,) = [one for one in self.entries() if one.get("player") == f"{self.prefix}d7"]
        self.state({"kind": "withdraw", "target": wrong["event"], "reason": "a wrong tap"})
        self.weigh("d77", "ok")

    def step_aside(self) -> None:
        call(self.page, "line/table.js", "stepAside", self.game, self.team, f"{self.prefix}d64")

    def type_in(self) -> None:
        self.go("paper")
        self.one.press("Go on with paper from now")
        self.one.hears("Number 36, Otis")
        self.page.locator(".choices button").click()
        self.one.hears("Type in what the sheet says")
        self.page.get_by_role("link", name="Type in from paper: Tin Drums").click()
        self.page.get_by_label("Number", exact=True).fill("36")
        self.one.press("OK")
        self.one.press("Write it down")
        self.go(f"weigh/{self.team}")

    def sign(self) -> None:
        """Once the other side has closed: a list that changes is not signed."""
        while not [
            one for one in self.entries() if one["kind"] == "close" and one["team"] == self.own
        ]:
            self.page.wait_for_timeout(100)
        for team in (self.team, self.own):
            path = f"/api/games/{self.game}/teams/{team}"
            found = call(self.page, "api.js", "get", f"{path}/list")
            said = {"official": YOU, "number": found["number"], "passphrase": PASSPHRASE}
            said |= {"despite": found["settle"]["codes"]}
            call(self.page, "api.js", "post", f"{path}/sign", said)

    def list_for_gear(self, key: str, hint: str) -> None:
        """After what comes to mind first, which is answered with what is wanted."""
        call(self.page, "line/table.js", "stepAside", self.game, self.team, f"{self.prefix}{key}")
        self.one.hears(hint)
        self.state({"kind": "list", **self.about(key), "reason": "equipment"})

    def play(self, scene: Mapping[str, Any]) -> None:
        """What the scene waits for."""
        case = {"kind": "case_open", "case": "c1", "reason": "weigh"}
        steps: dict[str, Callable[[], object]] = {
            "scale": lambda: self.check_scale(scene),
            "gear": lambda: self.list_for_gear("d20", "Cleats are gear"),
            "shirt": lambda: self.list_for_gear("d30", "The game shirt is gear"),
            "number": lambda: self.weigh("d7", "ok"),
            "fix": self.fix,
            "coach": lambda: self.state(case),
            "cry": self.step_aside,
            "broken": lambda: self.state({"kind": "scale_out", "reason": "it cracked"}),
            "paper": self.type_in,
            "spare": lambda: self.check_scale(scene),
            "close": lambda: self.state({"kind": "close", "team": self.team}),
            "sign": self.sign,
            "late": lambda: self.weigh("d80", "ok", "late_weigh"),
        }
        name = scene["scene"]
        if name == "back":  # Lena was there while the scale was out, then weighed once
            expect(self.page.get_by_text("written down twice")).to_have_count(0)
        if name in steps:
            steps[name]()
        else:
            for key, value in scene.get("truth", {}).items():
                self.weigh(key, value)


@pytest.mark.long
def test_every_scene_of_the_ten_minutes_comes_to_its_end(
    practice: Practicing, phone: Maker
) -> None:
    """None waits for what cannot come."""
    page = phone().new_page()
    page.clock.install()
    page.goto(practice.url)
    wait_until_ready(page)
    one = Volunteer(page)
    one.press("Ten minutes")
    one.hears("About half an hour")
    morning = Morning(one)
    for scene in all_scenes()[TEN]:
        expect(page.locator("#caller")).to_have_attribute("data-scene", scene["scene"])
        morning.play(scene)
        for _ in range(60):
            button = page.locator(".choices button").first
            if button.count():
                button.click()
            one.wait(2500)
            page.wait_for_timeout(60)
            if page.locator("#caller").get_attribute("data-scene") != scene["scene"]:
                break
    expect(page.get_by_role("heading", level=1)).to_have_text("Thank you. That was the practice.")
    expect(page.get_by_text("weighbook record trained")).to_be_visible()


def test_a_real_page_at_the_address_of_a_practice_keeps_its_taps(
    own_site: Site, phone: Maker
) -> None:
    """Its worker opens it there; the practice takes nothing, and the ledger gets all later."""
    context = phone()
    own_site.sign_in(context)
    page = opened(context, own_site)
    expect(page.locator("html[data-opens-offline=yes]")).to_be_attached()
    expect_trouble(page, OFFLINE, "421", "401")
    own_site.kill()
    weigh(page, 1)
    expect_saved(page, "1 waits on this phone")
    with Practicing(own_site.port):
        page.reload()
        expect(page.get_by_role("heading")).to_have_text("Something else is at this address now.")
    own_site.start()
    page.reload()
    wait_until_ready(page)
    expect_saved(page, "All saved")
    assert [event.player for event in own_site.stated(["weigh"])] == ["k1"]
