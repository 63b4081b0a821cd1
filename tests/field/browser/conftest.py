"""Debian's Chromium by Playwright, and a server to look at.

    site         `weighbook serve` in a process of its own, over a ledger (`tests.field.site`);
                 a process's tests share it, and `site.stated()` begins anew with each
    own_site     the same over a ledger that no other test has
    line_site    the same over a ledger that the tests of one file share
    phone, desk  makers of browser contexts, `phone()`: 390 by 844 with touch, 1280 by 800

Every context fails its test on a console error, a page's error, a break of the content policy, and
a request to another host. What a test brings about on purpose it names:
`expect_trouble(page, "503")`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Playwright, expect, sync_playwright

from tests.field.browser.chromium import Guard, executable, options
from tests.field.site import Site

Maker = Callable[..., BrowserContext]

PATIENCE_MS = 60_000
"""What a busy machine may take to derive a key; only a test that fails waits so long."""
expect.set_options(timeout=PATIENCE_MS)


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    """For a module: its event loop runs on in this process, where other tests start their own."""
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="module")
def chromium(playwright: Playwright) -> Iterator[Browser]:
    browser = playwright.chromium.launch(executable_path=executable(), args=options())
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def shared_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with Site(tmp_path_factory.mktemp("site")) as begun:
        yield begun


@pytest.fixture
def site(shared_site: Site) -> Site:
    shared_site.begin_anew()
    return shared_site


@pytest.fixture
def own_site(tmp_path: Path) -> Iterator[Site]:
    with Site(tmp_path) as begun:
        yield begun


@pytest.fixture(scope="module")
def line_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with Site(tmp_path_factory.mktemp("line")) as begun:
        yield begun


@pytest.fixture
def contexts(chromium: Browser) -> Iterator[Maker]:
    guards: list[Guard] = []
    made: list[BrowserContext] = []

    def make(**wanted: object) -> BrowserContext:
        context = chromium.new_context(**wanted)  # type: ignore[arg-type]
        made.append(context)
        guards.append(Guard(context))
        return context

    yield make
    for context in made:
        context.close()
    assert [found for guard in guards for found in guard.found] == []


@pytest.fixture
def phone(contexts: Maker) -> Maker:
    def make(**more: object) -> BrowserContext:
        size = {"width": 390, "height": 844}
        return contexts(viewport=size, has_touch=True, is_mobile=True, **more)

    return make


@pytest.fixture
def desk(contexts: Maker) -> Maker:
    return lambda **more: contexts(viewport={"width": 1280, "height": 800}, **more)
