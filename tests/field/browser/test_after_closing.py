"""Closing a team, what is left, late children, halves, concerns: each with a tap, by number."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.field.browser.conftest import Maker
from tests.field.browser.pages import MODULE, expect_saved, opened, tap, weigh
from tests.field.site import GAME, Site

HERE = f"#/game/{GAME}"


@pytest.fixture
def site(own_site: Site) -> Site:
    """A weigh-in is closed once: each test has a game of its own."""
    return own_site


@pytest.fixture
def device(site: Site, phone: Maker) -> BrowserContext:
    context = phone()
    site.sign_in(context)
    return context


def go(page: Page, place: str) -> None:
    page.evaluate("(hash) => { location.hash = hash; }", f"{HERE}/{place}")
    expect(page.locator("main")).to_have_attribute("data-screen", place.partition("/")[0])


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()
    page.wait_for_timeout(550)


def of(number: int, *also: dict[str, str]) -> list[dict[str, str]]:
    return [{"team": "newts", "player": f"k{number}"} | one for one in also]


def weigh_most(page: Page) -> None:
    """All of the Newts but 11 and 12; 3 and 4 are over, 4 without a line; 5 was listed absent."""
    tap(page, *of(5, {"kind": "list", "reason": "absent"}))
    for number in range(1, 11):
        weigh(page, number, "over" if number in (3, 4) else "ok")
    tap(page, *of(3, {"kind": "list", "reason": "over"}))
    tap(page, *of(1, {"kind": "list", "reason": "over"}))


def test_everything_open_is_settled_with_one_tap_each(site: Site, device: BrowserContext) -> None:
    page = opened(device, site, HERE)
    weigh_most(page)
    go(page, "close/newts")
    expect(page.get_by_role("heading", name="Not weighed, not listed")).to_be_visible()
    stays = page.locator(".needs")
    expect(stays).to_contain_text("11 and 12: not weighed, not listed")
    expect(stays).to_contain_text("4: to add to the list")
    expect(stays).to_contain_text("3: no tape")
    press(page, "11: Absent")
    press(page, "12: Gear")
    press(page, "4: Listed, tape is on")
    press(page, "3: Tape is on")
    press(page, "1: Cross off")
    press(page, "5: Cross off")
    expect(page.get_by_text("Everybody is weighed or listed.")).to_be_visible()
    press(page, "Close the weigh-in")
    expect(page.locator("main")).to_have_attribute("data-screen", "sign")
    expect_saved(page)
    found = [(one.kind, one.player, one.data.get("reason")) for one in site.stated()]
    for wanted in (
        ("list", "k11", "absent"), ("list", "k12", "equipment"), ("list", "k4", "over"),
        ("stripe", "k4", None), ("stripe", "k3", None), ("strike_off", "k1", "over"),
        ("strike_off", "k5", None), ("close", None, None),
    ):  # fmt: skip
        assert wanted in found, wanted


CODES = {
    "missing": "unaccounted",
    "not_listed": "noncarrier_not_listed",
    "undecided": "carrier_undecided",
    "not_striped": "noncarrier_not_striped",
    "listed_ok": "listed_over_weighed_ok",
    "not_struck": "not_struck_off",
    "injured": "injured_but_weighed",
    "striped_ok": "carrier_striped",
}


def test_the_device_and_the_server_find_the_same_open(site: Site, device: BrowserContext) -> None:
    page = opened(device, site, HERE)
    weigh_most(page)
    tap(page, *of(6, {"kind": "list", "reason": "injured"}))
    tap(page, *of(7, {"kind": "stripe"}))
    tap(page, {"kind": "scale_out", "reason": "it broke"})
    weigh(page, 12, "no_scale")
    expect_saved(page)
    run = f"""async () => {{
      const {{ app }} = await import({MODULE} + "main.js");
      const {{ openOf }} = await import({MODULE} + "after/open.js");
      const open = openOf(app.model.team("newts"));
      return Object.fromEntries(Object.entries(open).map(([code, all]) => [code, all.length]));
    }}"""
    open_here = page.evaluate(run)
    here = {CODES[code] for code, count in open_here.items() if count and code in CODES}
    there = device.request.get(f"{site.url}/api/games/{GAME}/teams/newts/open").json()
    assert here == set(there["codes"]) == set(CODES.values())


def test_one_may_close_all_the_same_and_take_it_back(site: Site, device: BrowserContext) -> None:
    page = opened(device, site, HERE)
    weigh_most(page)
    go(page, "close/newts")
    press(page, "Close anyway")
    expect(page.locator("main")).to_have_attribute("data-screen", "sign")
    go(page, "close/newts")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Closed at")
    press(page, "It is not closed: take back")
    expect(page.get_by_role("button", name="Close anyway")).to_be_visible()
    expect_saved(page)
    assert [one.kind for one in site.stated(("close", "withdraw"))] == ["close", "withdraw"]


def test_the_last_five_minutes_show_numbers_and_no_names(
    site: Site, device: BrowserContext
) -> None:
    page = opened(device, site, HERE)
    weigh_most(page)
    go(page, "left")
    newts = page.locator("section", has_text="Newts").first
    expect(newts.get_by_role("link", name="Missing")).to_contain_text("1112")
    expect(newts.get_by_role("link", name="Not striped")).to_contain_text("34")
    expect(newts.get_by_role("link", name="Not signed by")).to_contain_text("Newts and Marmots")
    assert "Quillfeather" not in page.locator("main").inner_text()
    page.clock.install(time="2026-09-05T13:56:10Z")
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Kickoff in 4 min")


def test_a_late_child_before_the_half_and_after_it(
    site: Site, phone: Maker, device: BrowserContext
) -> None:
    page = opened(device, site, HERE)
    weigh_most(page)
    tap(page, {"kind": "close", "team": "newts"})
    go(page, "late/newts")
    expect(page.locator("main")).to_contain_text("plays in the second half")
    page.get_by_role("button", name="11").click()
    expect(page.locator("main")).to_have_attribute("data-screen", "child")

    other = phone()
    site.sign_in(other, "site")
    official = opened(other, site, HERE)
    go(official, "halves")
    press(official, "End the first half now")
    expect(official.get_by_text("Ended at")).to_be_visible()
    go(page, "late/newts")
    expect(page.get_by_text("Thank you for coming.")).to_be_visible()
    expect(page.get_by_text("does not play today")).to_be_visible()
    press(official, "It has not ended: take back")
    expect(page.locator("main")).to_contain_text("plays in the second half")


def test_a_concern_is_noted_quietly_by_number(site: Site, device: BrowserContext) -> None:
    page = opened(device, site, HERE)
    go(page, "concern/newts")
    page.get_by_label("Number, if it is one child").fill("99")
    press(page, "Mouth guard")
    expect(page.get_by_text("Nobody here has number 99")).to_be_visible()
    page.get_by_label("Number, if it is one child").fill("7")
    press(page, "Mouth guard")
    expect_saved(page)
    (event,) = site.stated(("concern",))
    assert (event.player, event.data["reason"]) == ("k7", "mouth_guard")


def test_late_children_are_taken_over(site: Site, device: BrowserContext) -> None:
    page = opened(device, site, HERE)
    go(page, "take-over/newts")
    press(page, "I weigh them from now on")
    expect(page.locator("main")).to_have_attribute("data-screen", "late")
    expect_saved(page)
    (event,) = site.stated(("at_scale",))
    assert (event.team, event.by) == ("marmots", "marmots-wm1")
