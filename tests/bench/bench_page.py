"""How fast the page is usable: from cold, with its worker, and without a network.

python -m tests.bench.bench_page [TIMES]

Usable is: the first screen's button is there and takes a press. Cold is a new profile of a browser
that runs; the server runs too. Beside it, what the page weighs on the way and unpacked.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

from playwright.sync_api import Browser, Page, expect, sync_playwright

from ledger.field.shell import build
from tests.field.browser.chromium import executable, options
from tests.field.browser.pages import wait_until_ready
from tests.field.site import GAME, Site


def main(times: int = 5) -> int:
    files = [build().files[name] for name in build().kept]
    with (
        tempfile.TemporaryDirectory() as folder,
        Site(Path(folder)) as site,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=executable(), args=options())
        _measure(browser, site)  # the server's first answers are slower
        rows = [_measure(browser, site) for _ in range(times)]
        browser.close()
    packed, plain = sum(len(one.packed) for one in files), sum(len(one.data) for one in files)
    print(
        f"The page: {len(files)} files, {packed / 1000:.0f} kB packed, {plain / 1000:.0f} kB plain"
    )
    for name in rows[0]:
        own = [row[name] * 1000 for row in rows]
        print(f"{name}: median {median(own):.0f} ms, worst {max(own):.0f} ms, of {times}")
    return 0


def _measure(browser: Browser, site: Site) -> dict[str, float]:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    site.sign_in(context)
    page = context.new_page()
    cold = _timed(page, lambda: page.goto(f"{site.url}/#/game/{GAME}"))
    expect(page.locator("html[data-opens-offline=yes]")).to_be_attached()
    warm = _timed(page, page.reload)
    context.set_offline(True)
    offline = _timed(page, page.reload)
    context.close()
    return {"cold": cold, "again, with its worker": warm, "without a network": offline}


def _timed(page: Page, go: Callable[[], object]) -> float:
    begin = perf_counter()
    go()
    wait_until_ready(page)
    page.locator("main button, main a.button").first.click(trial=True)
    return perf_counter() - begin


if __name__ == "__main__":
    sys.exit(main(*(int(argument) for argument in sys.argv[1:])))
