"""Save what waits: the file goes through enter or into days/, and nothing comes twice."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page

from tests.field.browser.chromium import OFFLINE, expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.pages import expect_saved, opened, tap
from tests.field.site import TEXTS, Site
from tests.tiny import events_in, load, write_folder

NOTE = 'She said "not yet",\nthen came back, no gear'
KINDS = ["weigh", "list", "stripe", "concern", "withdraw", "weigh"]


@pytest.fixture
def device(site: Site, phone: Maker) -> BrowserContext:
    context = phone()
    site.sign_in(context)
    return context


def save(page: Page, device: BrowserContext, folder: Path) -> Path:
    """Tap without a network, and save what waits."""
    expect_trouble(page, OFFLINE)
    device.set_offline(True)
    act = tap(
        page,
        {"kind": "weigh", "team": "newts", "player": "k4", "value": "over"},
        {"kind": "list", "team": "newts", "player": "k4", "reason": "over"},
        {"kind": "stripe", "team": "newts", "player": "k4"},
    )
    tap(page, {"kind": "concern", "reason": "equipment", "note": NOTE})
    tap(page, {"kind": "withdraw", "target": act["entries"][2]["ref"], "reason": "not taped yet"})
    tap(page, {"kind": "weigh", "team": "newts", "number": 88, "name": "Odo Fen", "value": "ok"})
    expect_saved(page, "4 wait on this phone")
    with page.expect_download() as found:
        page.get_by_role("button", name="Save what waits").click()
    path = folder / found.value.suggested_filename
    found.value.save_as(path)
    expect_saved(page, "4 wait on this phone")
    return path


def test_the_file_is_entered_and_then_the_device_sends_it_too(
    site: Site, device: BrowserContext, tmp_path: Path
) -> None:
    page = opened(device, site)
    path = save(page, device, tmp_path)
    command = [sys.executable, "-m", "ledger.commands", "--store", str(site.ledger)]
    ran = subprocess.run(
        [*command, "enter", str(path), "--yes"], capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stderr
    entered = site.stated()
    assert [event.kind for event in entered] == KINDS
    device.set_offline(False)
    expect_saved(page)
    assert site.stated() == entered


def test_the_file_is_a_day_file(site: Site, device: BrowserContext, tmp_path: Path) -> None:
    text = save(opened(device, site), device, tmp_path).read_text(encoding="utf-8")
    folder = write_folder(tmp_path / "season", **TEXTS, days={"02.csv": text})
    load(tmp_path / "other.weighbook", folder)
    events = [one for one in events_in(tmp_path / "other.weighbook") if one.data.get("ref")]
    assert [event.kind for event in events] == KINDS
