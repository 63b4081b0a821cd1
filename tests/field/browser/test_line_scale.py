"""The scale: the page says what does not pass, refuses nothing, and goes by the book when out."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import expect

from tests.field.browser.conftest import Maker
from tests.field.browser.line import Line
from tests.field.browser.pages import tap
from tests.field.last_week import LastWeek
from tests.field.site import Site


@pytest.fixture(scope="module")
def last_week(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LastWeek]:
    with LastWeek(tmp_path_factory.mktemp("last-week")) as begun:
        yield begun


def test_a_reading_out_of_tolerance_is_said_and_recorded(own_site: Site, phone: Maker) -> None:
    context = phone()
    own_site.sign_in(context)
    line = Line(context, own_site)
    line.check_scale(reading="11", ready=False)
    expect(line.page.get_by_text("It does not pass: more than 0.5 lb off.")).to_be_visible()
    line.press("Scale is ready", dead=True)
    line.expect_numbers()
    line.expect_saved()
    (station,) = own_site.stated(["station"])
    assert (station.data["reading_clb"], station.data["limit_clb"]) == (1100, 9500)
    line.go("")
    expect(line.page.get_by_text("It does not pass.")).to_be_visible()


def test_nothing_is_ticked_beforehand(own_site: Site, phone: Maker) -> None:
    context = phone()
    own_site.sign_in(context)
    line = Line(context, own_site)
    line.go("scale/newts")
    expect(line.page.locator("[aria-pressed=true]")).to_have_count(0)
    expect(line.button("Scale is ready")).to_be_disabled()
    line.button("Scale is ready").click(force=True)
    expect(
        line.page.get_by_text("Still to tap: Level, Zero, What the check weight")
    ).to_be_visible()


def test_when_the_scale_is_out_the_book_decides(last_week: LastWeek, phone: Maker) -> None:
    last_week.begin_anew()
    context = phone()
    last_week.sign_in(context, "newts-wm1")
    line = Line(context, last_week, "marmots", "acorn-7a").begin()
    line.press("Scale trouble")
    line.press("Scale is out of use", dead=True)
    line.expect_numbers()
    expect(line.page.locator(".facts")).to_contain_text("by the book")
    line.tap(line.tile(1))
    expect(line.page.get_by_text("Scale out: the book decides. Book: ok.")).to_be_visible()
    line.press("HERE", dead=True)
    line.expect_numbers()
    line.tap(line.tile(11))
    expect(line.page.get_by_text("Book: over.")).to_be_visible()
    line.press("HERE", dead=True)
    line.press("Tape is on", dead=True)
    line.expect_saved()
    said = [(one.kind, one.data.get("value")) for one in last_week.stated() if one.player]
    assert said == [
        ("weigh", "no_scale"), ("weigh", "no_scale"), ("list", None), ("stripe", None),
    ]  # fmt: skip
    new = {"kind": "weigh", "team": "marmots", "number": "98", "name": "Invented Newcomer"}
    tap(line.page, new | {"value": "no_scale"}, by="newts-wm1", game="acorn-7a")
    expect(line.tile(98)).to_have_attribute("data-state", "done")
    line.press("Scale trouble")
    line.press("Check it or a spare")
    line.check_scale()
    line.tap(line.tile(5))
    expect(line.button("OVER")).to_be_visible()
    line.press("Numbers")
    expect(line.tile(98)).to_have_attribute("data-state", "open")
    expect(line.page.locator(".facts")).to_contain_text("not decided: 98")
    line.weigh(98, "OK")
    expect(line.page.locator(".facts")).not_to_contain_text("not decided")


def test_scale_out_by_a_wrong_tap(own_site: Site, phone: Maker) -> None:
    context = phone()
    own_site.sign_in(context)
    line = Line(context, own_site).begin()
    line.press("Scale trouble")
    line.press("Scale is out of use", dead=True)
    line.press("Scale trouble")
    line.press("That was a wrong tap: take back", dead=True)
    expect(line.page.locator(".facts")).to_contain_text("95 lb")
    line.tap(line.tile(1))
    expect(line.button("OK")).to_be_visible()


def test_two_divisions_on_one_scale(last_week: LastWeek, phone: Maker) -> None:
    context = phone()
    last_week.sign_in(context, "board-1")
    acorn = Line(context, last_week, "quokkas", "acorn-7b")
    acorn.check_scale()
    oak = Line(context, last_week, "wombats", "oak-7b")
    oak.go("weigh/wombats")
    expect(oak.page.get_by_text("The beam stands at 97 lb for Acorn.")).to_be_visible()
    oak.check_scale()
    acorn.page.reload()
    acorn.go("weigh/quokkas")
    expect(acorn.page.get_by_text("The beam stands at 127 lb for Oak.")).to_be_visible()
