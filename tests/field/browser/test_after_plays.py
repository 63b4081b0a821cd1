"""Counting plays: sets and not children; kept from the first tap, told in counts, compared."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.field.browser.conftest import Maker
from tests.field.browser.pages import expect_saved, opened, tap, wait_until_ready, weigh
from tests.field.browser.test_after_closing import HERE, go, press
from tests.field.site import Site

FIELD = list(range(1, 12))
TWO: dict[str | None, int] = {None: 2} | {f"k{n}": 2 for n in FIELD}


@pytest.fixture
def site(own_site: Site) -> Site:
    return own_site


@pytest.fixture
def counter(site: Site, phone: Maker) -> BrowserContext:
    context = phone()
    site.sign_in(context, "newts-pc")
    return context


@pytest.fixture
def page(site: Site, counter: BrowserContext, desk: Maker) -> Page:
    """All Newts but 12 are weighed."""
    context = desk()
    site.sign_in(context)
    weighing = opened(context, site, HERE)
    for number in FIELD:
        weigh(weighing, number)
    expect_saved(weighing)
    page = opened(counter, site, HERE)
    go(page, "plays/newts")
    return page


def put_on(page: Page, *numbers: int) -> None:
    for number in numbers:
        tile(page, number).click()


def counted(site: Site, half: int = 1) -> dict[str | None, int]:
    """The latest count of each player (None: the team's) of a half."""
    found: dict[str | None, int] = {}
    for event in site.stated(("plays", "snaps")):
        if event.data["half"] == half:
            found[event.player] = event.data["count"]
    return found


def expect_counted(page: Page, site: Site, wanted: dict[str | None, int], half: int = 1) -> None:
    """What a page states as it is left is on its disk at once, and in the ledger soon."""
    for _ in range(100):
        if counted(site, half) == wanted:
            return
        page.wait_for_timeout(200)
    assert counted(site, half) == wanted


def tile(page: Page, number: int) -> Any:
    return page.locator(f".field [aria-label='{number}'], .field [aria-label^='{number},']")


def test_sets_are_counted_and_told_every_ten_plays(site: Site, page: Page) -> None:
    expect(page.get_by_text("11 children are still due plays.")).to_be_visible()
    expect(tile(page, 12)).to_have_count(0)
    put_on(page, *FIELD)
    press(page, "Count this eleven")
    for _ in range(7):
        press(page, "Same eleven")
    press(page, "No play")
    expect(page.get_by_text("No play. Nothing is counted.")).to_be_visible()
    expect(page.locator(".facts")).to_contain_text("8 plays")
    expect(tile(page, 1)).to_contain_text("2 due")
    assert counted(site) == {}
    press(page, "Change")
    put_on(page, 11)
    press(page, "Count with 10")
    press(page, "Same 10")
    expect_counted(page, site, {None: 10, "k11": 8} | {f"k{n}": 10 for n in range(1, 11)})
    expect(tile(page, 1)).to_have_attribute("data-due", "no")
    expect(tile(page, 11)).to_contain_text("2 due")
    expect(page.get_by_text("1 child is still due plays.")).to_be_visible()
    for word in ("%", "ok", "over", "Over"):
        assert word not in page.locator("main").inner_text().split()
    press(page, "Undo")
    press(page, "Undo")
    go(page, "halves")
    expect_counted(page, site, {None: 8} | {f"k{n}": 8 for n in FIELD})


def test_a_killed_page_loses_no_set_and_repeats_none(
    site: Site, page: Page, counter: BrowserContext
) -> None:
    put_on(page, *FIELD)
    press(page, "Count this eleven")
    press(page, "Same eleven")
    page.evaluate("() => { window.onbeforeunload = null; }")
    page.close(run_before_unload=False)
    again = opened(counter, site, f"{HERE}/plays/newts")
    expect(again.locator(".facts")).to_contain_text("2 plays")
    expect_counted(again, site, TWO)
    again.reload()
    wait_until_ready(again)
    expect(again.get_by_role("button", name="Same eleven")).to_be_visible()
    expect_saved(again)
    assert [event.data["count"] for event in site.stated(("snaps",))] == [2]


def test_without_a_network_sets_are_kept_and_told_later(
    site: Site, page: Page, counter: BrowserContext
) -> None:
    put_on(page, *FIELD)
    counter.set_offline(True)
    press(page, "Count this eleven")
    press(page, "Same eleven")
    counter.set_offline(False)
    go(page, "halves")
    expect_counted(page, site, TWO)


def test_two_counters_compare_and_only_what_differs_is_shown(
    site: Site, page: Page, desk: Maker
) -> None:
    put_on(page, *FIELD)
    press(page, "Count this eleven")
    press(page, "Same eleven")
    other = desk()
    site.sign_in(other, "newts-wm1")
    second = opened(other, site, HERE)
    own = {"kind": "plays", "team": "newts", "half": "1"}
    for number in FIELD:
        count = "3" if number == 4 else "2"
        tap(second, own | {"player": f"k{number}", "count": count}, by="newts-wm1")
    expect_saved(second)
    go(page, "compare/newts/1")
    expect(page.get_by_text("1 number differs.")).to_be_visible()
    rows = page.locator(".rows li")
    expect(rows).to_have_count(1)
    expect(rows).to_contain_text("Ana Thistlewood: 3")
    expect(rows).to_contain_text("you: 2")
    press(page, "4: take 3")
    expect(page.get_by_text("The counts agree.")).to_be_visible()
    go(page, "plays/newts")
    press(page, "Same eleven")
    go(page, "compare/newts/1")
    expect(rows).to_have_count(11)
    expect_saved(page)
    mine = [e for e in site.stated(("plays",)) if (e.by, e.player) == ("newts-pc", "k4")]
    assert [event.data["count"] for event in mine] == [2, 3, 4]


def test_a_second_counter_goes_on_from_the_first(site: Site, page: Page, desk: Maker) -> None:
    put_on(page, *FIELD)
    press(page, "Count this eleven")
    go(page, "halves")
    expect_counted(page, site, {None: 1} | {f"k{n}": 1 for n in FIELD})
    other = desk()
    site.sign_in(other, "newts-wm1")
    second = opened(other, site, f"{HERE}/plays/newts")
    press(second, "I go on from the count of Lou Pennyroyal")
    put_on(second, *FIELD)
    press(second, "Count this eleven")
    expect(second.locator(".facts")).to_contain_text("2 plays")
    go(second, "halves")
    expect_counted(second, site, TWO)


def test_the_second_half_follows_the_site_official(site: Site, page: Page, phone: Maker) -> None:
    put_on(page, *FIELD)
    press(page, "Count this eleven")
    official = phone()
    site.sign_in(official, "site")
    elsewhere = opened(official, site, HERE)
    go(elsewhere, "halves")
    press(elsewhere, "End the first half now")
    page.get_by_role("button", name="Count on: Second half").click()
    expect(page.locator(".facts")).to_contain_text("Second half")
    press(page, "Count this eleven")
    go(page, "halves")
    for half in (1, 2):
        expect_counted(page, site, {None: 1} | {f"k{n}": 1 for n in FIELD}, half)
    expect(elsewhere.get_by_text("Ended at")).to_be_visible()
