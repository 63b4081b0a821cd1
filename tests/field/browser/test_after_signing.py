"""Both sides sign on one device, exactly the list that was shown; without a network, on paper."""

from __future__ import annotations

from contextlib import closing
from io import BytesIO

import pytest
from PIL import Image
from playwright.sync_api import BrowserContext, Page, expect

from ledger.store.opening import open_store
from tests.field.browser.chromium import OFFLINE, expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.pages import expect_saved, opened, tap, weigh
from tests.field.browser.test_after_closing import HERE, go, press
from tests.field.site import GAME, PASSPHRASE, Site
from tests.tiny import events_in


@pytest.fixture
def site(own_site: Site) -> Site:
    return own_site


@pytest.fixture
def page(site: Site, phone: Maker) -> Page:
    """All Newts are weighed, 3 is over, listed and striped; the weigh-in is closed."""
    context = phone()
    site.sign_in(context)
    page = opened(context, site, HERE)
    for number in range(1, 13):
        weigh(page, number, "over" if number == 3 else "ok")
    own = {"team": "newts", "player": "k3"}
    tap(page, {"kind": "list", "reason": "over"} | own, {"kind": "stripe"} | own)
    tap(page, {"kind": "close", "team": "newts"})
    expect_saved(page)
    return page


def show_list(page: Page) -> None:
    go(page, "sign/newts")
    expect(page.get_by_role("row", name="Juno Quillfeather")).to_be_visible()


def sign_as(page: Page, name: str, words: str = PASSPHRASE) -> None:
    page.get_by_label(name).check()
    page.get_by_label("Your passphrase").fill(words)
    page.locator("form button[type=submit]").click()


def expect_signed(page: Page, name: str) -> None:
    expect(page.get_by_role("heading", name=f"Signed by {name}")).to_be_visible()


def other_device(site: Site, maker: Maker) -> BrowserContext:
    context = maker()
    site.sign_in(context, "marmots-wm2")
    return context


def test_both_sides_sign_and_take_the_receipt(site: Site, page: Page) -> None:
    show_list(page)
    row = page.get_by_role("row", name="Juno Quillfeather")
    expect(row).to_contain_text("Over the carrier limit")
    expect(row).to_contain_text("Does not carry the ball")
    sign_as(page, "Ivo Larkspur")
    expect_signed(page, "Ivo Larkspur")
    expect(page.get_by_role("img", name="The receipt as a code to scan")).to_be_visible()
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save as a file").click()
    assert saved.value.suggested_filename == f"receipt-{GAME}-newts.txt"
    text = saved.value.path().read_text()
    assert "newts" not in text
    assert text.count("— ") == 2
    page.get_by_role("link", name="The other side signs this list").click()
    expect(page.get_by_label("Ivo Larkspur")).to_have_count(0)
    sign_as(page, "Ana Thistlewood")
    expect_signed(page, "Ana Thistlewood")
    expect(page.get_by_role("link", name="The other side signs this list")).to_have_count(0)
    with page.context.expect_page() as printed:
        page.get_by_role("link", name="Print it").click()
    expect(printed.value.get_by_role("heading", level=1).first).to_have_text(
        "Receipt: a list was signed"
    )
    go(page, "left")
    newts = page.locator("section", has_text="Newts").first
    expect(newts.get_by_text("Nothing is left.")).to_be_visible()
    page.evaluate("(hash) => { location.hash = hash; }", HERE)
    expect(page.locator(".start a.first")).to_have_text("A late child")
    expect(page.get_by_role("link", name="A late child")).to_have_count(1)
    expect(page.get_by_role("link", name="Count plays")).to_have_count(1)


def test_a_wrong_passphrase_is_told_beside_the_field(site: Site, page: Page) -> None:
    expect_trouble(page, "422")
    show_list(page)
    sign_as(page, "Ivo Larkspur", "not these words")
    expect(page.get_by_role("alert")).not_to_be_empty()
    expect(page.get_by_label("Your passphrase")).to_be_focused()
    expect(page.get_by_label("Your passphrase")).to_have_value("")


def test_a_list_that_changed_meanwhile_is_shown_again_and_not_signed(
    site: Site, page: Page, desk: Maker
) -> None:
    expect_trouble(page, "409")
    show_list(page)
    page.get_by_label("Your passphrase").fill(PASSPHRASE)
    # The page does not read again while somebody signs on it, as without any news.
    page.route("**/list?*", lambda route: route.abort())
    expect_trouble(page, OFFLINE)
    elsewhere = opened(other_device(site, desk), site, HERE)
    entry = {"kind": "list", "team": "newts", "player": "k5", "reason": "other"}
    tap(elsewhere, entry, by="marmots-wm2")
    expect_saved(elsewhere)
    page.unroute("**/list?*")
    page.locator("form button[type=submit]").click()
    expect(page.get_by_role("alert")).to_contain_text("Nothing was signed.")
    expect(page.get_by_role("row", name="Tuck Quillfeather")).to_be_visible()
    expect(page.get_by_label("Your passphrase")).to_have_value("")


def test_a_list_that_changes_while_one_types_is_said_so(
    site: Site, page: Page, desk: Maker
) -> None:
    show_list(page)
    page.get_by_label("Your passphrase").fill(PASSPHRASE)
    elsewhere = opened(other_device(site, desk), site, HERE)
    entry = {"kind": "list", "team": "newts", "player": "k5", "reason": "other"}
    tap(elsewhere, entry, by="marmots-wm2")
    expect(page.get_by_role("alert")).to_contain_text("The list changed.")
    expect(page.get_by_label("Your passphrase")).to_have_value("")
    expect(page.get_by_role("row", name="Tuck Quillfeather")).to_be_visible()


def test_what_another_device_holds_is_told_before_signing(
    site: Site, page: Page, desk: Maker
) -> None:
    context = other_device(site, desk)
    elsewhere = opened(context, site, HERE)
    expect_trouble(elsewhere, "503")
    context.route("**/api/acts", lambda route: route.fulfill(status=503, body='{"error":{}}'))
    entry = {"kind": "concern", "team": "newts", "reason": "other"}
    tap(elsewhere, entry, by="marmots-wm2")
    body = {"device": "heldbytests", "held": {GAME: 2}}
    site.post(context, "/api/devices", body)
    show_list(page)
    held = page.locator(".held")
    expect(held).to_contain_text("This device: all is saved.")
    expect(held).to_contain_text("Device of Una Fernsby: holds 2 taps.")
    expect(held).to_contain_text("Not all is saved.")
    expect(page.locator(".copy")).to_contain_text("Over: 3.")


def test_without_a_network_the_paper_list_is_signed(site: Site, page: Page) -> None:
    expect_trouble(page, OFFLINE)
    site.kill()
    tap(page, {"kind": "concern", "team": "newts", "reason": "other"})
    go(page, "sign/newts")
    copy = page.locator(".copy")
    expect(copy).to_contain_text("Newts, game acorn-1a")
    expect(copy).to_contain_text("Over: 3.")
    expect(copy).to_contain_text("Weighed: 12 of 12.")
    expect(copy).to_contain_text("1 tap still waits on this phone.")
    assert "Quillfeather" not in copy.inner_text()
    expect(page.get_by_label("Your passphrase")).to_have_count(0)


def test_a_paper_that_was_signed_is_entered_with_a_photo(site: Site, page: Page) -> None:
    show_list(page)
    press(page, "Sign the paper list now")
    page.get_by_role("checkbox", name="Ivo Larkspur").check()
    photo = Image.new("RGB", (3000, 2000), "white")
    made = BytesIO()
    photo.save(made, "PNG")
    page.get_by_label("Photo or scan").set_input_files(
        {"name": "list.png", "mimeType": "image/png", "buffer": made.getvalue()}
    )
    press(page, "Enter the signed paper")
    expect(page.locator("#live")).to_contain_text("Delete the picture from this phone")
    (event,) = [one for one in events_in(site.ledger) if one.kind == "countersign"]
    assert (event.by, event.data["how"]) == ("marmots-wm1", "ink")
    with closing(open_store(site.ledger)) as store:
        name, content = store.exhibit(event.data["scan"]) or ("", b"")
    assert (name, Image.open(BytesIO(content)).size) == ("list.jpg", (2000, 1333))


def test_what_is_open_is_named_and_kept(site: Site, page: Page) -> None:
    tap(page, {"kind": "list", "team": "newts", "player": "k1", "reason": "over"})
    expect_saved(page)
    show_list(page)
    expect(page.locator(".needs")).to_contain_text("No. 1: listed as over, but weighed ok.")
    assert "Quillfeather" not in page.locator(".needs").inner_text()
    sign_as(page, "Ivo Larkspur")
    expect_signed(page, "Ivo Larkspur")
    (event,) = [one for one in events_in(site.ledger) if one.kind == "countersign"]
    assert event.data["despite"] == ["listed_over_weighed_ok"]


def test_names_are_hidden_and_numbers_stay(site: Site, page: Page) -> None:
    show_list(page)
    expect(page.get_by_text("Juno Quillfeather")).to_be_visible()
    press(page, "Hide")
    expect(page.get_by_text("Juno Quillfeather")).not_to_be_visible()
