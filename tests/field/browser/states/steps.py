"""What a state does beyond going to its place: steps on a page, put together with `after`."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, Route

from tests.field.browser.mornings import NOW, PLAYERS
from tests.field.browser.pages import MODULE, call

Do = Callable[[Page], object]
ACTS = "**/api/acts"


def press(*names: str) -> Do:
    def do(page: Page) -> None:
        for name in names:
            begins = re.compile(f"^{re.escape(name)}")
            one = page.get_by_role("button", name=begins)
            one.or_(page.get_by_role("link", name=begins)).first.click()

    return do


def fill(text: str, where: str = "main input") -> Do:
    return lambda page: page.locator(where).first.fill(text)


def after(*steps: Do) -> Do:
    def do(page: Page) -> None:
        for step in steps:
            step(page)

    return do


def go(place: str) -> Do:
    return lambda page: page.evaluate("to => { location.hash = to }", f"#/{place}")


def see(selector: str) -> Do:
    return lambda page: page.locator(selector).first.wait_for()


def cover(page: Page) -> None:
    call(page, "names.js", "cover")


def digits(official: str = "newts-wm1", *, wrong: int = 0) -> Do:
    """The official has chosen digits here; so many wrong ones were typed since."""

    def do(page: Page) -> None:
        call(page, "line/digits.js", "choose", official, "2468")
        for _ in range(wrong):
            call(page, "line/digits.js", "check", official, "1111")

    return do


def beam(page: Page) -> None:
    beam = {"game": "oak-one", "division": "Oak", "limit_clb": 12700, "at": NOW}
    call(page, "line/table.js", "setBeam", beam)


def scale(*, reading: str = "10", limit: str | None = None) -> Do:
    def do(page: Page) -> None:
        for name in ("Level", "Zero", "Set the scale to"):
            page.get_by_role("button", name=name).click()
        if page.get_by_role("button", name=reading, exact=True).count():
            page.get_by_role("button", name=reading, exact=True).click()
        else:
            enter(page, "Another reading, in lb", reading)
        if limit:
            enter(page, "Set to another limit, in lb", limit)

    return do


def enter(page: Page, label: str, text: str) -> None:
    field = page.get_by_label(label)
    field.fill(text)
    field.press("Tab")


def tap(*entries: dict[str, Any]) -> Do:
    """An act, as a screen states it. It waits on the device."""
    run = f"""async (entries) => {{
      const {{ app }} = await import({MODULE} + "main.js");
      await app.state(entries);
    }}"""
    return lambda page: page.evaluate(run, list(entries))


def weighing(number: int) -> Do:
    player = PLAYERS[number]
    return tap({"kind": "weigh", "team": "marmots", "player": player, "value": "ok"})


def answering(status: int, body: dict[str, Any]) -> Do:
    """What the server says to every act from now on."""

    def fulfil(route: Route) -> None:
        asked = json.loads(route.request.post_data or "{}")
        events = [f"e{n}" for n, _ in enumerate(asked.get("entries", []))]
        said = {"act": asked.get("act"), "events": events, "recorded": NOW} | body
        route.fulfill(status=status, json=said)

    def do(page: Page) -> None:
        page.route(ACTS, fulfil)
        page.evaluate("globalThis.answering = true")

    return do


def offline(page: Page) -> None:
    page.context.set_offline(True)


def proved(page: Page) -> None:
    """Taken along, and opened without a network."""
    page.evaluate(f"""async () => {{
      const db = await import({MODULE} + "db.js");
      const opened = {{ at: new Date().toISOString(), anew: true }};
      await db.write("device", "along", {{ ...(await db.read("device", "along")), opened }});
    }}""")


def battery_low(page: Page) -> None:
    page.evaluate(f"""async () => {{
      const told = Object.assign(new EventTarget(), {{ level: 0.18, charging: false }});
      navigator.getBattery = async () => told;
      const {{ paintStrip }} = await import({MODULE} + "strip.js");
      await (await import({MODULE} + "along/battery.js")).begin(paintStrip);
    }}""")


def count(*numbers: int) -> Do:
    def do(page: Page) -> None:
        for number in numbers:
            page.locator(".tile").filter(
                has=page.get_by_text(str(number), exact=True)
            ).first.click()
        page.get_by_role("button", name="Count").click()

    return do


def refused(code: str, message: str, note: str = "", **more: Any) -> Do:
    """The server refuses the next act: a weigh, or a concern with this note."""
    error = {"code": code, "message": message} | more
    act = noting(note) if note else weighing(45)
    return after(answering(422, {"error": error}), act, see("section.needs"))


def noting(note: str) -> Do:
    return tap({"kind": "concern", "team": "marmots", "reason": "other", "note": note})


ELEVEN = (1, 3, 5, 8, 11, 19, 22, 24, 26, 27, 30)


def waiting(*people: dict[str, Any], let_in: tuple[dict[str, Any], ...] = ()) -> Do:
    """What the server says of those who wait to be confirmed, from now on."""
    said = {"waiting": list(people), "let_in": list(let_in)}
    return lambda page: page.route("**/api/to-confirm", lambda route: route.fulfill(json=said))


def somebody(game: str, *, has_authority: bool = True, **more: str) -> dict[str, Any]:
    """Somebody new for the Marmots in this game, as the server tells it."""
    by = [{"official": "newts-wm1", "has_authority": has_authority}]
    said = {"official": "new-482913", "name": "Pip Invented", "game": game, "team": "marmots"}
    when = {"to": "weighmaster", "team_name": "Mossbottom Marmots", "kickoff_local": "9:00 AM"}
    return said | when | {"by": by} | more


def new_here(name: str) -> Do:
    """Fills the form of somebody new."""

    def do(page: Page) -> None:
        page.get_by_label("Your name").fill(name)
        page.get_by_label("Which game?").select_option("ready")
        for label in ("Mossbottom Marmots", "Weigh"):
            page.get_by_role("radio", name=label).check()
        page.get_by_role("checkbox").check()
        page.get_by_role("button", name="Go on").click()

    return do
