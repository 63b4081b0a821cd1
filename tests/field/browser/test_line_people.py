"""Who has the device: signing in, being confirmed, four digits, handing over."""

from __future__ import annotations

import re

from playwright.sync_api import Page, Route, expect

from tests.field.browser.chromium import expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.pages import call, opened, wait_until_ready
from tests.field.site import GAME, PASSPHRASE, Site


def begun(site: Site, maker: Maker) -> Page:
    page = maker().new_page()
    expect_trouble(page, "401")
    page.goto(site.url)
    wait_until_ready(page)
    return page


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def choose(page: Page, name: str) -> None:
    page.get_by_label("Your name").fill(name.split()[0].lower())
    page.get_by_role("button", name=name).click()


def heading(page: Page, text: str | re.Pattern[str]) -> None:
    expect(page.get_by_role("heading", level=1)).to_have_text(text)


def before_the_keys(route: Route) -> None:
    answer = route.fetch()
    route.fulfill(response=answer, json=[one | {"has_key": False} for one in answer.json()])


def test_with_the_passphrase_of_a_key(line_site: Site, phone: Maker) -> None:
    page = begun(line_site, phone)
    page.route("**/api/officials", before_the_keys, times=1)
    page.reload()
    wait_until_ready(page)
    expect_trouble(page, "422")
    choose(page, "Ivo Larkspur")
    page.get_by_label("Your passphrase").fill("wrong")
    press(page, "Sign in")
    expect(page.get_by_role("alert")).to_contain_text("passphrase")
    page.get_by_label("Your passphrase").fill(PASSPHRASE)
    press(page, "Sign in")
    heading(page, "Choose four digits")
    page.get_by_role("textbox").fill("2468")
    heading(page, re.compile("You weigh the Newts.|September"))


def test_without_a_key_somebody_confirms(line_site: Site, phone: Maker, desk: Maker) -> None:
    page = begun(line_site, phone)
    choose(page, "Eve Merriweather")
    press(page, "That is me")
    heading(page, "Have your name confirmed")
    page.reload()
    heading(page, "Have your name confirmed")
    code = page.locator(".code").inner_text()
    office = desk()
    line_site.confirm_here(office, "registrar")
    other = office.new_page()
    other.goto(f"{line_site.url}/#/confirm")
    heading(other, "Eve Merriweather")
    other.get_by_label("The code they tell you").fill(code)
    expect(other.get_by_role("status").first).to_have_text("Confirmed: Eve Merriweather.")
    heading(page, "Choose four digits")


def test_hand_over_is_a_tap_and_the_others_digits(line_site: Site, phone: Maker) -> None:
    context = phone()
    line_site.sign_in(context, "marmots-wm1", "marmots-wm2")
    page = context.new_page()
    page.goto(f"{line_site.url}/#/game/{GAME}")
    wait_until_ready(page)
    call(page, "line/digits.js", "choose", "marmots-wm2", "1357")
    page.get_by_role("link", name="Hand over").click()
    page.get_by_role("button", name="Una Fernsby").click()
    page.get_by_role("textbox").fill("0000")
    expect(page.get_by_text("Those are not your digits.")).to_be_visible()
    page.get_by_role("textbox").fill("1357")
    expect(page.locator("#live")).to_have_text("You are Una Fernsby.")
    page.goto(f"{line_site.url}/#/game/{GAME}/absent/newts")
    page.get_by_role("link", name=re.compile("You are UF")).click()
    names = page.locator(".tick b")
    expect(names).to_have_text(["Ivo Larkspur", "Una Fernsby"])
    page.get_by_role("button", name="Ivo Larkspur takes over").click()
    expect(page.locator("#live")).to_have_text("You are Ivo Larkspur.")


def test_five_wrong_tries_let_nobody_in(line_site: Site, phone: Maker) -> None:
    """Not with the right digits either: the official signs in anew, and may choose others."""
    context = phone()
    line_site.sign_in(context, "marmots-wm1", "marmots-wm2")
    page = opened(context, line_site, "#/hand-over")
    call(page, "line/digits.js", "choose", "marmots-wm2", "1357")
    page.get_by_role("button", name="Una Fernsby").click()
    field = page.get_by_label("Your four digits")
    for _ in range(4):
        field.fill("0000")
        expect(field).to_have_value("")
    field.fill("0000")
    heading(page, "Who are you?")
    page.get_by_role("link", name="Back").click()
    page.get_by_role("button", name="Una Fernsby").click()
    field.fill("1357")
    heading(page, "Who are you?")
    choose(page, "Una Fernsby")
    page.get_by_label("Your passphrase").fill(PASSPHRASE)
    press(page, "Sign in")
    heading(page, "Choose four digits")
    press(page, "Without digits")
    page.get_by_role("link", name="Hand over").click()
    expect(page.get_by_text("now", exact=True)).to_be_visible()


def test_the_site_official_moves_the_kickoff(line_site: Site, phone: Maker) -> None:
    context = phone()
    line_site.confirm_here(context, "site")
    page = context.new_page()
    page.goto(f"{line_site.url}/#/game/{GAME}/hold")
    page.get_by_label("New kickoff").fill("09:45")
    page.get_by_label("Why").select_option("Thunder")
    press(page, "Move it")
    expect(page.get_by_text("Kickoff 9:45 AM.")).to_be_visible()
    (change,) = line_site.stated(["game_change"])
    assert change.data["kickoff"] == "2026-09-05T14:45:00.000Z"


def test_a_device_left_behind_is_signed_out_from_another(
    own_site: Site, phone: Maker, desk: Maker
) -> None:
    left, here = phone(), desk()
    own_site.sign_in(left, "marmots-wm1")
    own_site.sign_in(here, "marmots-wm1")
    page = here.new_page()
    page.goto(f"{own_site.url}/#/sessions")
    heading(page, "Who is signed in where")
    expect(page.get_by_text("This device")).to_be_visible()
    page.get_by_role("button", name=re.compile("Sign out there")).click()
    expect(page.get_by_role("status").first).to_have_text("Signed out there.")
    expect(page.get_by_role("listitem")).to_have_count(1)
    lost = left.new_page()
    expect_trouble(lost, "401")
    lost.goto(own_site.url)
    heading(lost, "Who are you?")
