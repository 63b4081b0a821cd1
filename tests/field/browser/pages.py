"""What tests do on a page: open it, tap by the modules that the screens use, read what it holds."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import BrowserContext, Page, expect

from tests.field.site import GAME, Site

MODULE = (
    "[...document.scripts].find((one) => one.src.endsWith('/main.js')).src.replace('main.js', '')"
)
"""Where this build's modules are. Our content policy lets no page evaluate text, but a test may."""


def opened(context: BrowserContext, site: Site, place: str = "#/waiting") -> Page:
    page = context.new_page()
    page.goto(f"{site.url}/{place}")
    wait_until_ready(page)
    return page


def wait_until_ready(page: Page) -> None:
    expect(page.locator("html[data-ready]")).to_be_attached()


def tap(page: Page, *entries: dict[str, Any], by: str = "marmots-wm1", game: str = GAME) -> Any:
    """One act, as a screen states it. It is on the device's disk when this returns."""
    run = f"""async ([entries, given]) => {{
      const {{ app }} = await import({MODULE} + "main.js");
      return app.state(entries, given);
    }}"""
    return page.evaluate(run, [entries, {"by": by, "game": game}])


def weigh(page: Page, number: int, value: str = "ok", **given: Any) -> Any:
    entry = {"kind": "weigh", "team": "newts", "player": f"k{number}", "value": value}
    return tap(page, entry, **given)


def call(page: Page, module: str, function: str, *arguments: Any) -> Any:
    """What an exported function of a module returns."""
    run = f"""async ([module, name, given]) =>
      (await import({MODULE} + module))[name](...given)"""
    return page.evaluate(run, [module, function, arguments])


def kept(page: Page) -> list[Any]:
    """The acts on this device that the server has not answered well, by the store itself."""
    return [one for one in call(page, "acts.js", "all") if one["state"] != "recorded"]


def expect_saved(page: Page, text: str = "All saved") -> None:
    expect(page.locator("#saved")).to_have_text(text)
