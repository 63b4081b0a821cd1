"""Saturday taken along: two phones of a server that is out of reach from the first child on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect

from ledger.audit.audit import audit_file
from ledger.commands import weighbook
from ledger.field.hotspot.files import certificate_path
from tests.field.browser.chromium import OFFLINE, Guard, expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.line import Line
from tests.field.browser.pages import MODULE, call, kept, opened, wait_until_ready, weigh
from tests.field.browser.trusting import browser_at, trust
from tests.field.loaded_again import expect_equal_answers
from tests.field.site import PASSPHRASE, MorningAway, Site

GAME = "practice-1"
DRUMS, KITES = (2, 7, 12, 20, 41, 58, 66, 80), (3, 8, 12, 21, 34, 55, 64, 77)
OVER, ABSENT = (7, 55), 80
LAST_GAME = "acorn-2a"
"""Of a `Site`: the day that is shown where none is to come."""
NEVER_CUT = "ERR_INTERNET_DISCONNECTED|ERR_NETWORK_CHANGED|" + OFFLINE


@contextmanager
def handset(browser: Browser, *names: str) -> Iterator[BrowserContext]:
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    guard = Guard(context, *names)
    expect_trouble(context, NEVER_CUT)
    yield context
    context.close()
    assert guard.found == []


def sign_in(page: Page, official: str) -> None:
    """Through the page: Playwright's own requests trust no authority."""
    who = {"official": official, "passphrase": PASSPHRASE}
    call(page, "api.js", "post", "/api/sign-in", who)
    page.reload()
    wait_until_ready(page)


def take_along(page: Page) -> None:
    expect(page.locator("html[data-opens-offline=yes]")).to_be_attached()
    page.evaluate("location.hash = '#/games'")
    page.get_by_role("link", name="Take Saturday along").click()
    page.get_by_role("button", name="Take it along").click()
    expect(page.get_by_text("1 game is on this phone.")).to_be_visible()
    expect(page.get_by_text("The page can open without a network.")).to_be_visible()
    expect(page.get_by_text("The clock is right.")).to_be_visible()
    expect(page.get_by_text("A private window forgets all this")).to_be_visible()


def prove(context: BrowserContext, page: Page, url: str) -> Page:
    """Airplane mode; a reload is not enough; closed and opened again it is."""
    context.set_offline(True)
    page.reload()
    wait_until_ready(page)
    expect(page.get_by_text("Reloaded without a network at")).to_be_visible()
    page.close()
    page = context.new_page()
    page.goto(f"{url}/#/along")
    wait_until_ready(page)
    expect(page.get_by_text("Opened without a network at")).to_be_visible()
    expect(page.get_by_text("The clock is compared when there is a network.")).to_be_visible()
    return page


@pytest.mark.long
def test_two_phones_a_whole_morning_without_a_network(
    playwright: Playwright, tmp_path: Path
) -> None:
    with (
        MorningAway(tmp_path) as away,
        browser_at(
            playwright, trust(tmp_path / "home", certificate_path(away.ledger)), away.name
        ) as browser,
        handset(browser, away.name) as one,
        handset(browser, away.name) as other,
    ):
        lines = []
        for context, official, team in ((one, "kites-wm1", "drums"), (other, "drums-wm1", "kites")):
            page = opened(context, away, "")
            sign_in(page, official)
            take_along(page)
            page = prove(context, page, away.url)
            page.close()
            lines.append(Line(context, away, team, GAME).begin())
        away.kill()
        visitors, home = lines
        for number in DRUMS[:-1]:
            visitors.weigh(number, *answer(number))
        for number in KITES:
            home.weigh(number, *answer(number))
        visitors.go("close/drums")
        press(visitors.page, f"{ABSENT}: Absent")
        press(visitors.page, "Close the weigh-in")
        home.go("close/kites")
        press(home.page, "Close the weigh-in")
        home.go("plays/kites")
        for number in KITES:
            home.tap(home.tile(number))
        press(home.page, "Count with 8")
        press(home.page, "Same 8")
        home.go("left")
        visitors.go("sign/drums")
        expect(visitors.page.locator(".copy")).to_contain_text(str(OVER[0]))
        assert away.stated() == []

        away.start()
        for context in (one, other):
            context.set_offline(False)
        for line in lines:
            line.expect_saved()
        refs = [event.data["ref"] for event in away.stated()]
        assert len(refs) == len(set(refs))
        assert count(away, "weigh") == len(DRUMS) - 1 + len(KITES)
        assert count(away, "close") == 2
        sign_in_ink(away, tmp_path)
        report = audit_file(away.ledger)
        assert report.ok, report.problems
        expect_equal_answers(away.ledger, GAME, tmp_path / "again")


def answer(number: int) -> tuple[str, ...]:
    return ("OVER", "Tape is on") if number in OVER else ("OK",)


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()
    page.wait_for_timeout(550)


def count(site: Site, kind: str) -> int:
    return len(site.stated([kind]))


def sign_in_ink(site: Site, folder: Path) -> None:
    """The paper list that both signed at the field, with its scan."""
    scan = folder / "list.png"
    Image.new("L", (300, 400), 255).save(scan)
    for official in ("kites-wm1", "drums-wm1"):
        words = ["sign", GAME, "drums", "--by", official, "--ink", str(scan)]
        ran = CliRunner().invoke(weighbook, [*words, "--store", str(site.ledger)])
        assert "signed in ink" in ran.output, ran.output


def test_a_lost_phone_is_signed_out_from_another_and_the_others_go_on(
    own_site: Site, phone: Maker
) -> None:
    """What waits on it is not taken in, and it says what to do; nothing there is deleted."""
    lost, at_hand = phone(), phone()
    own_site.sign_in(lost, "marmots-wm1")
    page = opened(lost, own_site, "#/waiting")
    own_site.sign_in(at_hand, "marmots-wm1")
    expect_trouble(lost, OFFLINE, "401", "403")
    page.evaluate("location.hash = '#/along'")
    page.get_by_role("button", name="Take it along").click()
    expect(page.get_by_text("1 game is on this phone.")).to_be_visible()
    lost.set_offline(True)
    weigh(page, 1)
    weigh(page, 2)
    table = opened(at_hand, own_site, "#/sessions")
    table.get_by_role("button", name="Sign out there").click()
    expect(table.get_by_text("Signed out there.")).to_be_visible()
    lost.set_offline(False)
    expect(page.locator("#why")).to_have_text("Sign in to send it.")
    weigh(table, 3)
    expect(table.locator("#saved")).to_have_text("All saved")
    page.reload()
    wait_until_ready(page)
    assert page.evaluate(f"async () => (await import({MODULE} + 'main.js')).app.me.people") == []
    assert call(page, "along/along.js", "taken", "marmots-wm1") is None
    page.evaluate("location.hash = '#/'")
    told = "2 taps wait on this phone. They go when the person who tapped signs in again."
    expect(page.get_by_text(told)).to_be_visible()
    expect(page.locator("#saved")).to_have_text("2 wait on this phone")
    assert [event.player for event in own_site.stated()] == ["k3"]
    assert len(kept(page)) == 2


def test_a_session_that_ran_out_overnight_stops_nobody_at_the_table(
    own_site: Site, phone: Maker
) -> None:
    """Twelve hours after the evening it goes on by number, and sends after the next sign-in."""
    context = phone()
    own_site.sign_in(context, "marmots-wm1")
    page = opened(context, own_site, "#/along")
    page.get_by_role("button", name="Take it along").click()
    expect(page.get_by_text("1 game is on this phone.")).to_be_visible()
    expect_trouble(page, OFFLINE, "401", "403")
    own_site.kill()
    own_site.ledger.with_name(f"{own_site.ledger.name}.sessions").unlink()
    page.close()
    context.clock.set_fixed_time(datetime.now(UTC) + timedelta(hours=13))
    own_site.start()
    line = Line(context, own_site, "newts", LAST_GAME)
    weigh(line.page, 1, game=LAST_GAME)
    expect(line.page.locator("#why")).to_have_text("Sign in to send it.")
    expect(line.page.get_by_text("You weigh the Newts.")).to_be_visible()
    line.page.locator("#why").click()
    line.page.get_by_role("button", name="Ivo Larkspur").click()
    line.page.get_by_label("Your passphrase").fill(PASSPHRASE)
    line.page.get_by_role("button", name="Sign in").click()
    expect(line.page.locator("#saved")).to_have_text("All saved")
    assert [event.player for event in own_site.stated()] == ["k1"]
