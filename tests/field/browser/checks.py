"""What anyone must be able to see, reach and hear of a page: problems as sentences, none if well.

axe-core comes from a package, not from a network. It and the scripts here are evaluated by the
browser's own debugger, which our content policy does not stop.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

from playwright.sync_api import Page

FINGER_PX, LINE_PX = 44, 60
"""What a finger meets: everywhere, and in the line, with gloves and in the rain."""
NARROW = {"width": 320, "height": 640}
"""A screen of 1,280 pixels at 400 %."""

_OFF_BY_DEFAULT = {"label-content-name-mismatch": {"enabled": True}}


@cache
def _script(name: str) -> str:
    return (Path(__file__).parent / name).read_text()


@cache
def _axe() -> str:
    return (files("axe_playwright_python") / "axe.min.js").read_text()


def by_axe(page: Page, *rules: str) -> list[str]:
    """What axe-core finds against WCAG 2.2 AA and its best practices; or by these rules alone."""
    if not page.evaluate("'axe' in globalThis"):
        page.evaluate(_axe())
    more = {"runOnly": list(rules)} if rules else {"rules": _OFF_BY_DEFAULT}
    how = {"resultTypes": ["violations"]} | more
    found = page.evaluate("how => axe.run(document, how).then(({ violations }) => violations)", how)
    return [
        f"{one['id']}: {node['html'][:120]} {node['failureSummary']}"
        for one in found
        for node in one["nodes"]
    ]


def in_the_dark(page: Page) -> list[str]:
    page.emulate_media(color_scheme="dark")
    try:
        return [f"dark: {one}" for one in by_axe(page, "color-contrast")]
    finally:
        page.emulate_media(color_scheme="light")


def layout(page: Page) -> list[str]:
    """Nothing beyond the screen or its button, and every target large enough."""
    return list(page.evaluate(_script("layout.js"), [FINGER_PX, LINE_PX]))


def focus(page: Page) -> list[str]:
    """Every control takes the focus, shows it, and is not hidden under another while it has it."""
    return list(page.evaluate(_script("focus.js")))


def narrow(page: Page) -> list[str]:
    """The same at 320 px."""
    before = page.viewport_size
    assert before is not None
    page.set_viewport_size(NARROW)  # type: ignore[arg-type]
    try:
        return [f"at 320 px: {one}" for one in layout(page) + focus(page)]
    finally:
        page.set_viewport_size(before)


def tabbing(page: Page) -> list[str]:
    """Tab goes through every control once, in the order of the page, and out of it again."""
    wanted = page.evaluate(_script("tabbing.js"))
    met = []
    for _ in range(len(wanted) + 1):
        page.keyboard.press("Tab")
        met.append(page.evaluate("document.activeElement?.dataset.tab ?? 'out'"))
    numbers = [str(at) for at in range(len(wanted))]
    if met[:-1] == numbers and met[-1] in ("out", "0"):
        return []
    names = dict(zip(numbers, wanted, strict=True))
    return [f"by Tab: {[names.get(one, one) for one in met]}, not {wanted}"]
