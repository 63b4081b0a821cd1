"""Commands in another program while a page is open: the page sees what they record."""

from __future__ import annotations

import subprocess
import sys

import pytest
from playwright.sync_api import BrowserContext, Page

from tests.field.browser.conftest import Maker
from tests.field.browser.pages import expect_saved, opened, weigh
from tests.field.browser.test_game_model import look, look_until
from tests.field.site import GAME, Site

OK, OPEN = [True, "ok"], [False, None]


@pytest.fixture
def page(own_site: Site, phone: Maker) -> Page:
    context: BrowserContext = phone()
    own_site.sign_in(context)
    made = opened(context, own_site)
    assert look(made, "k1") == [*OPEN, "Pip Quillfeather", False]
    return made


def weighbook(site: Site, *words: str) -> str:
    """Run the command on the ledger that the page's server serves."""
    command = [sys.executable, "-m", "ledger.commands", "--store", str(site.ledger), *words]
    ran = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


def test_a_weigh_and_its_withdrawal(own_site: Site, page: Page) -> None:
    by = ("--by", "marmots-wm1")
    child = ("--game", GAME, "--team", "newts", "--number", "1")
    said = weighbook(own_site, "record", "weigh", *child, "--value", "ok", *by)
    look_until(page, "k1", [*OK, "Pip Quillfeather", False])
    event = said.split("Recorded as ")[1].split(".")[0]
    back = ("--target", event, "--reason", "typed 1 for 2")
    weighbook(own_site, "record", "withdraw", *back, *by)
    look_until(page, "k1", [*OPEN, "Pip Quillfeather", False])


def test_a_child_whom_the_registrar_enters_can_be_weighed(own_site: Site, page: Page) -> None:
    assert look(page, "n1") is None
    child = ("--player", "n1", "--name", "Bo Yarrow", "--team", "newts", "--number", "31")
    when = ("--at", "2026-09-01 18:00", "--by", "registrar")
    weighbook(own_site, "record", "enter_player", *child, *when)
    look_until(page, "n1", [*OPEN, "Bo Yarrow", False])
    weighbook(own_site, "record", "number_change", *child[:2], *child[4:6], "--number", "32", *when)
    weigh(page, 1)
    expect_saved(page)
    number = ("record", "weigh", "--game", GAME, "--team", "newts", "--number", "32")
    weighbook(own_site, *number, "--value", "ok", "--by", "marmots-wm1")
    look_until(page, "n1", [*OK, "Bo Yarrow", False])


def test_a_name_that_is_erased_leaves_the_page(own_site: Site, page: Page) -> None:
    weigh(page, 1)
    expect_saved(page)
    look_until(page, "k1", [*OK, "Pip Quillfeather", False])
    weighbook(
        own_site, "erase", "k1", "--by", "registrar", "--reason", "asked by a parent", "--yes"
    )
    look_until(page, "k1", [*OK, None, False], most_ms=3000)
