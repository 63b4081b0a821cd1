"""Paper in mid-line: after the third child a pen goes on, and the sheet is typed in afterwards.

The Marmots are weighed so, the Newts with taps alone, number for number with the same answers. What
the ledger derives of the one team is what it derives of the other.
"""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from typing import Any

from playwright.sync_api import expect

from ledger import open_ledger
from ledger.record.times import moment_of
from tests.field.browser.conftest import Maker
from tests.field.browser.line import Line
from tests.field.browser.pages import call, opened
from tests.field.browser.states.paper import a_photo
from tests.field.site import GAME, Site

TAPPED = {1: ("OK",), 2: ("OVER", "Tape is on"), 3: ("OK",)}
LATER = {4: ("OK",), 5: ("OVER", "Tape is on"), 6: ("OVER", "Later"), 7: ("OK",), 9: ("OK",)}
MISSED = {8: "Absent", 10: "Injured"}
MINUTE = timedelta(minutes=1)
SHEET = ("4o", "5v", "6n", "7o", "8a", "9o", "10i")


def test_on_paper_and_typed_in_is_as_tapped(own_site: Site, phone: Maker, desk: Maker) -> None:
    hand, table = phone(), desk()
    own_site.sign_in(hand, "marmots-wm1")
    own_site.sign_in(table, "newts-wm1")
    taps = Line(hand, own_site).begin()
    for number, answer in (TAPPED | LATER).items():
        taps.weigh(number, *answer)
    for number, reason in MISSED.items():
        taps.go(f"not-here/newts/k{number}")
        taps.press(reason, dead=True)
    taps.expect_saved()

    line = Line(table, own_site, "marmots").begin()
    for number, answer in TAPPED.items():
        line.weigh(number, *answer)
    line.tap(line.tile(4))
    line.press("Paper")
    line.press("Go on with paper from now")
    line.press("Type in from paper: Marmots")
    a_photo(line.page)
    expect(line.page.get_by_role("img")).to_be_visible()
    number = line.page.get_by_label("Number", exact=True)
    said = line.page.locator(".preview")

    number.press_sequentially("3o")
    expect(said).to_contain_text("3 is already written down.")
    number.fill("")
    number.press_sequentially("77o")
    expect(line.page.get_by_label("Name on the sheet")).to_be_visible()
    number.fill("")
    number.fill("")
    line.press("Write it down")
    expect(said).to_contain_text("Type the number on the sheet.")
    first = line.page.evaluate(FIRST)
    line.page.get_by_label("Time", exact=True).fill(first)
    for typed in SHEET:
        number.press_sequentially(typed)
        expect(said).not_to_contain_text("Number, letter")
        number.press("Enter")
        if typed == SHEET[0]:  # asked of a sheet once
            expect(said).to_contain_text("before the scale was checked. Is that what the sheet")
            number.press("Enter")
        expect(number).to_have_value("")
    expect(line.page.get_by_text("10 is written down.")).to_be_visible()
    line.page.get_by_label("Time", exact=True).fill(first)
    number.press_sequentially("11o")
    expect(said).to_contain_text("This time is before the line above it.")
    number.press("Enter")
    expect(said).to_contain_text("Enter again")
    number.press("Enter")
    line.press("Take back 11")
    expect(line.page.get_by_text("taken back")).to_be_visible()
    line.expect_saved()

    weighs = [one for one in own_site.stated(["weigh"]) if one.team == "marmots"][3:-1]
    times = [moment_of(str(one.at)) for one in weighs]
    minutes = [(after - before) / MINUTE for before, after in pairwise(times)]
    assert minutes == [1, 1, 1, 2]
    entered = [moment_of(str(one.entered)) for one in weighs]
    assert all(one - at > 2 * MINUTE for one, at in zip(entered, times, strict=True))
    # The screens without a game have the league's clock too.
    assert call(line.page, "device.js", "timeZone") == "America/Chicago"
    assert derived(own_site, "marmots", "m") == derived(own_site, "newts", "k")


INSTANTS = (
    ("America/Chicago", "08:41", "2026-09-05T14:00:00Z", "2026-09-05T13:41:00.000Z"),
    ("America/Chicago", "105", "2026-09-05T14:00:00Z", "2026-09-05T18:05:00.000Z"),
    ("America/Chicago", "8.71", "2026-09-05T14:00:00Z", None),
    ("America/Chicago", "23:50", "2026-09-05T05:10:00Z", "2026-09-05T04:50:00.000Z"),
    ("America/Chicago", "3:00", "2026-11-01T05:30:00Z", "2026-11-01T09:00:00.000Z"),
    ("Asia/Kolkata", "00:05", "2026-09-04T18:20:00Z", "2026-09-04T18:35:00.000Z"),
)
"""In a zone, what a sheet says after an instant: past noon, midnight, a change of the clocks."""


def test_a_time_on_a_sheet_is_an_instant(own_site: Site, desk: Maker) -> None:
    page = opened(desk(), own_site)
    for zone, time, near, wanted in INSTANTS:
        head = {"time_zone": zone}
        assert call(page, "line/times.js", "instant", head, time, near) == wanted


FIRST = """() => new Intl.DateTimeFormat("en-GB", { timeZone: "America/Chicago", hour: "2-digit",
  minute: "2-digit" }).format(Date.now() - 10 * 60000)"""


def derived(site: Site, team: str, letter: str) -> list[Any]:
    """What is derived of a team, without what only names it."""
    ledger = open_ledger(site.ledger)
    rows: list[Any] = []
    for answer, keys in (
        (ledger.eligibility(GAME), ["number", "may_play", "may_carry", "basis", "listed"]),
        (ledger.book(team), ["number", "game", "mark"]),
        (ledger.exposure(GAME), ["number", "may_play", "required", "status"]),
        (ledger.findings(game=GAME), ["rule", "player"]),
    ):
        own = answer[answer["team"] == team].to_dict("records")
        assert own
        rows.append([{key: one[key] for key in keys} for one in own])
    for one in rows[-1]:
        one["player"] = str(one["player"]).replace(letter, "")
    return rows
