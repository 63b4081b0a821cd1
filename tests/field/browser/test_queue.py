"""Nothing tapped is lost and nothing is recorded twice, whatever dies or answers what."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import BrowserContext, Error, Page, Route, expect

from tests.field.browser.chromium import OFFLINE, expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.pages import (
    MODULE,
    call,
    expect_saved,
    kept,
    opened,
    tap,
    wait_until_ready,
    weigh,
)
from tests.field.site import GAME, Site

ACTS = "**/api/acts"


@pytest.fixture
def device(site: Site, phone: Maker) -> BrowserContext:
    context = phone()
    site.sign_in(context)
    return context


def refs(site: Site) -> list[str]:
    return [event.data["ref"] for event in site.stated()]


def test_a_tap_is_recorded_once_and_leaves(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    act = weigh(page, 3, "over")
    expect_saved(page)
    (event,) = site.stated()
    assert (event.kind, event.player, event.by, event.data["value"]) == (
        "weigh", "k3", "marmots-wm1", "over",
    )  # fmt: skip
    assert event.data["ref"] == f"{act['act']}.1"
    assert event.at == act["entries"][0]["at"]
    assert kept(page) == []


def test_taps_keep_their_order(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    acts = [weigh(page, number)["act"] for number in range(1, 13)]
    expect_saved(page)
    assert refs(site) == [f"{act}.1" for act in acts]


def test_the_server_is_killed_in_mid_line_and_begun_again(
    site: Site, device: BrowserContext
) -> None:
    page = opened(device, site)
    expect_trouble(page, OFFLINE, "503")
    weigh(page, 1)
    expect_saved(page)
    site.kill()
    weigh(page, 2)
    weigh(page, 3)
    expect_saved(page, "2 wait on this phone")
    expect(page.locator("#why")).to_have_text("No network. It will send by itself.")
    site.start()
    weigh(page, 4)
    expect_saved(page)
    assert [event.player for event in site.stated()] == ["k1", "k2", "k3", "k4"]


def test_the_page_opens_and_taps_without_a_network(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    expect(page.locator("html[data-opens-offline=yes]")).to_be_attached()
    expect_trouble(page, OFFLINE)
    device.set_offline(True)
    weigh(page, 1)
    page.reload()
    wait_until_ready(page)
    weigh(page, 2)
    expect_saved(page, "2 wait on this phone")
    assert site.stated() == []
    device.set_offline(False)
    expect_saved(page)
    assert [event.player for event in site.stated()] == ["k1", "k2"]


def test_an_answer_that_is_lost_is_asked_for_again(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    expect_trouble(page, OFFLINE)
    lost: list[str] = []

    def lose(route: Route) -> None:
        if len(lost) < 2:
            lost.append(route.fetch().text())
            route.abort()
        else:
            route.continue_()

    page.route(ACTS, lose)
    weigh(page, 5)
    expect_saved(page)
    assert len(lost) == 2
    assert [event.player for event in site.stated()] == ["k5"]


@pytest.mark.parametrize("text", ["<html>Sign in to the hotel</html>", '{"welcome": 1}'])
def test_an_answer_of_somebody_else_records_nothing(
    site: Site, device: BrowserContext, text: str
) -> None:
    page = opened(device, site)
    page.route(ACTS, lambda route: route.fulfill(status=200, body=text))
    weigh(page, 5)
    expect_saved(page, "1 waits on this phone")
    page.unroute(ACTS)
    expect_saved(page)
    assert [event.player for event in site.stated()] == ["k5"]


def test_what_is_refused_stands_aside_and_the_others_go_on(
    site: Site, device: BrowserContext
) -> None:
    page = opened(device, site)
    expect_trouble(page, "422", "401")
    tap(page, {"kind": "weigh", "team": "newts", "player": "k99", "value": "ok"})
    expect_saved(page, "1 needs you")
    weigh(page, 2)
    tap(
        page,
        {"kind": "plays", "team": "newts", "player": "k1", "half": 1, "count": 3},
        by="marmots-wm2",
    )
    expect_saved(page, "1 waits on this phone. 1 needs you")  # nobody has signed in as wm2 here
    expect(page.locator(".needs")).to_contain_text("k99")
    assert [event.player for event in site.stated()] == ["k2"]


def test_the_same_ref_with_other_content_stands_aside(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    expect_trouble(page, "409")

    def change(route: Route) -> None:
        body = json.loads(route.request.post_data or "")
        body["entries"][0]["value"] = "over"
        route.fetch(post_data=json.dumps(body))
        route.continue_()

    page.route(ACTS, change, times=1)
    weigh(page, 6, "ok")
    expect_saved(page, "1 needs you")
    ((kept_act,), (event,)) = kept(page), site.stated()
    assert (kept_act["error"]["code"], event.data["value"]) == ("differs", "over")


def test_what_takes_back_an_act_aside_waits_with_it(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    expect_trouble(page, "422")
    act = tap(page, {"kind": "weigh", "team": "newts", "player": "k99", "value": "ok"})
    expect_saved(page, "1 needs you")
    tap(page, {"kind": "withdraw", "target": act["entries"][0]["ref"], "reason": "wrong tap"})
    weigh(page, 2)
    expect(page.locator(".needs")).to_contain_text("1 tap takes this back and waits with it.")
    expect_saved(page, "1 needs you")
    assert [event.player for event in site.stated()] == ["k2"]
    page.get_by_role("button", name="Drop it").click()
    page.get_by_role("button", name="Yes, drop it").click()
    expect_saved(page)
    assert kept(page) == []
    assert len(site.stated()) == 1


def test_words_that_are_asked_about_are_sent_once_they_are_fine(
    site: Site, device: BrowserContext
) -> None:
    page = opened(device, site)
    expect_trouble(page, "422")
    tap(page, {"kind": "concern", "reason": "other", "note": "rain began at lb 84"})
    expect_saved(page, "1 needs you")
    page.get_by_role("button", name="The words are fine").click()
    expect_saved(page)
    assert [event.kind for event in site.stated()] == ["concern"]


def test_words_that_are_asked_about_are_changed(site: Site, device: BrowserContext) -> None:
    page = opened(device, site, "#/start-here")
    expect_trouble(page, "422")
    tap(page, {"kind": "concern", "reason": "other", "note": "one child is 96 lb"})
    expect_saved(page, "1 needs you")
    page.locator("#saved").click()
    expect(page.locator(".why")).to_be_visible()
    expect(page.locator("main")).not_to_contain_text("96")
    page.get_by_role("button", name="Change the words").click()
    page.get_by_label("The words").fill("one child is upset")
    page.get_by_role("button", name="Send it with these words").click()
    expect(page.locator("main[data-screen=start-here]")).to_be_attached()
    expect_saved(page)
    assert [event.kind for event in site.stated()] == ["concern"]


@pytest.mark.parametrize(
    ("status", "code"), [(503, "busy"), (500, "fault"), (429, "wait"), (502, "")]
)
def test_a_busy_server_is_asked_again(
    site: Site, device: BrowserContext, status: int, code: str
) -> None:
    page = opened(device, site)
    expect_trouble(page, str(status))
    body = json.dumps({"error": {"code": code, "message": "Later."}} if code else {})
    page.route(ACTS, lambda route: route.fulfill(status=status, body=body))
    weigh(page, 1)
    expect_saved(page, "1 waits on this phone")
    expect(page.locator("#why")).to_have_text("The server is busy. It will send by itself.")
    page.unroute(ACTS)
    expect_saved(page)


def test_a_session_that_ran_out_keeps_the_taps(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    expect_trouble(page, "401", "403")  # a new session has a new token
    site.post(device, "/api/sign-out", {})
    weigh(page, 1)
    page.get_by_role("link", name="Sign in to send it.").click()
    expect(page.locator("h1")).to_have_text("Who are you?")
    expect_saved(page, "1 waits on this phone")
    site.sign_in(device)
    expect_saved(page)
    assert [event.player for event in site.stated()] == ["k1"]


def test_one_persons_session_does_not_hold_up_the_other(site: Site, device: BrowserContext) -> None:
    site.sign_in(device, "marmots-wm2")
    page = opened(device, site)
    expect_trouble(page, "401")
    site.post(device, "/api/sign-out", {"official": "marmots-wm1"})
    weigh(page, 1)
    weigh(page, 2, by="marmots-wm2")
    expect_saved(page, "1 waits on this phone")
    expect(page.get_by_role("heading", name="1 tap by")).to_contain_text("Ivo Larkspur")
    assert [event.player for event in site.stated()] == ["k2"]


def test_two_tabs_send_each_tap_once(site: Site, device: BrowserContext) -> None:
    one, two = opened(device, site), opened(device, site)
    expect_trouble(one, OFFLINE)
    device.set_offline(True)
    acts = [weigh(page, number)["act"] for number, page in enumerate([one, two] * 6, 1)]
    assert len(set(acts)) == 12
    expect_saved(one, "12 wait on this phone")
    expect_saved(two, "12 wait on this phone")
    device.set_offline(False)
    expect_saved(one)
    expect_saved(two)
    assert refs(site) == [f"{act}.1" for act in acts]


def test_without_web_locks_two_tabs_send_each_tap_once(site: Site, phone: Maker) -> None:
    context = phone()
    context.add_init_script("Object.defineProperty(navigator, 'locks', { value: undefined });")
    site.sign_in(context)
    one, two = opened(context, site), opened(context, site)
    sent: list[str] = []
    context.on(
        "request", lambda asked: sent.append(asked.url) if asked.url.endswith("/acts") else None
    )
    for number in range(1, 7):
        weigh(one if number % 2 else two, number)
    expect_saved(one)
    expect_saved(two)
    assert [event.player for event in site.stated()] == [f"k{number}" for number in range(1, 7)]
    assert len(sent) == 6


@pytest.mark.parametrize(("minutes", "said"), [(20, "ahead"), (-20, "behind")])
def test_a_wrong_clock_is_told_and_kept(
    site: Site, device: BrowserContext, minutes: int, said: str
) -> None:
    device.add_init_script(
        f"""const real = Date, off = {minutes} * 60_000;
        globalThis.Date = class extends real {{
          constructor(...given) {{ given.length ? super(...given) : super(real.now() + off); }}
          static now() {{ return real.now() + off; }}
        }};"""
    )
    page = opened(device, site)
    weigh(page, 1)
    expect(page.locator("#clock")).to_have_text(f"This clock is 20 minutes {said}.")
    expect_saved(page)
    assert "note" in site.stated()[0].data["digests"]


def test_a_browser_that_keeps_nothing_says_so_before_any_tap(site: Site, phone: Maker) -> None:
    context = phone()
    context.add_init_script(
        "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); };"
    )
    page = context.new_page()
    page.goto(f"{site.url}/")
    expect(page.locator("h1")).to_have_text("This browser keeps nothing.")
    expect(page.locator("button")).to_have_count(0)


def test_a_tap_that_the_disk_refuses_is_not_held(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    page.evaluate(
        "() => { IDBObjectStore.prototype.add = function () { this.transaction.abort(); }; }"
    )
    with pytest.raises(Error, match="keeps nothing"):
        weigh(page, 1)
    expect(page.locator("#live")).to_have_text("This tap was NOT kept. Write it on paper.")
    expect_saved(page)


def test_no_worker_says_do_not_reload(site: Site, phone: Maker) -> None:
    context = phone(service_workers="block")
    site.sign_in(context)
    page = opened(context, site)
    expect(page.locator("#no-reload")).to_have_text("Do not reload this page.")
    weigh(page, 1)
    expect_saved(page)


def test_held_counts_reach_the_server(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    expect_trouble(page, "422")
    tap(page, {"kind": "weigh", "team": "newts", "player": "k99", "value": "ok"})
    expect_saved(page, "1 needs you")
    weigh(page, 1)
    expect_saved(page, "1 needs you")
    told = device.request.get(f"{site.url}/api/games/{GAME}/devices").json()
    held = {one["device"]: one["held"] for one in told}
    assert held[call(page, "device.js", "id")] == 1


def all_kept(page: Page) -> str:
    """Everything that this origin keeps, as text."""
    stores = [call(page, "db.js", "readAll", store) for store in ("acts", "device", "shape")]
    text: str = page.evaluate(
        """async () => {
          const found = [{ ...localStorage }, { ...sessionStorage }, location.href];
          for (const name of await caches.keys())
            for (const one of await (await caches.open(name)).keys()) found.push(one.url);
          return JSON.stringify(found);
        }"""
    )
    return json.dumps(stores) + text


def test_no_name_is_kept(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    expect(page.locator("html[data-opens-offline=yes]")).to_be_attached()
    named = page.evaluate(
        f"""async (game) => {{
          const model = await (await import({MODULE} + "game.js")).open(game);
          return model.team("newts").children.map((one) => one.name);
        }}""",
        GAME,
    )
    assert "Pip Quillfeather" in named
    expect_trouble(page, OFFLINE)
    device.set_offline(True)
    tap(
        page,
        {"kind": "weigh", "team": "newts", "number": 77, "name": "Odo Vandermeadow", "value": "ok"},
    )
    assert "Vandermeadow" in all_kept(page)
    device.set_offline(False)
    expect_saved(page)
    text = all_kept(page)
    assert "Vandermeadow" not in text
    assert "Quillfeather" not in text
    assert "Larkspur" not in text
    assert "/static/" in text
    assert f"unlisted-{GAME}-newts-77" in text


def test_a_connection_that_the_phone_dropped_is_opened_again(
    site: Site, device: BrowserContext
) -> None:
    page = opened(device, site)
    page.evaluate(f"async () => (await (await import({MODULE} + 'db.js')).open()).close()")
    weigh(page, 9)
    expect_saved(page)
    assert [event.player for event in site.stated()] == ["k9"]


def test_nobody_taps_as_nobody(site: Site, phone: Maker) -> None:
    page = opened(phone(), site, "#/start-here")
    with pytest.raises(Error, match="Nobody is active"):
        tap(page, {"kind": "close", "team": "newts"}, by="")
    assert kept(page) == []


def test_dropping_with_the_keyboard_stays_on_the_screen(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    expect_trouble(page, "422")
    tap(page, {"kind": "weigh", "team": "newts", "player": "k99", "value": "ok"})
    expect_saved(page, "1 needs you")
    page.get_by_role("button", name="Drop it").focus()
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_be_focused()
    page.get_by_role("button", name="Keep it").click()
    expect_saved(page, "1 needs you")
    page.get_by_role("button", name="Drop it").press("Enter")
    page.get_by_role("button", name="Yes, drop it").press("Enter")
    expect_saved(page)
    expect(page.locator("h1")).to_be_focused()


def test_a_child_who_reads_along_sees_no_answers(site: Site, device: BrowserContext) -> None:
    page = opened(device, site)
    expect_trouble(page, OFFLINE)
    device.set_offline(True)
    weigh(page, 4, "over")
    expect(page.locator("main")).to_contain_text("newts k4")
    expect(page.locator("main")).not_to_contain_text("over")
    page.get_by_role("button", name="Show what was entered").click()
    expect(page.locator("main")).to_contain_text("newts k4: weighed over")
    device.set_offline(False)
    expect_saved(page)


def test_a_browser_that_was_restored_goes_on_under_a_new_id(
    site: Site, device: BrowserContext
) -> None:
    """Its count stands where it stood once before, so its ids are in use."""
    page = opened(device, site)
    expect_trouble(page, "409")
    weigh(page, 1)
    expect_saved(page)
    before = call(page, "device.js", "id")
    call(page, "db.js", "write", "device", "count", 0)
    call(page, "db.js", "forget", "acts", 1)
    act = weigh(page, 2, "over")
    expect_saved(page, "1 needs you")
    tap(page, {"kind": "withdraw", "target": act["entries"][0]["ref"], "reason": "wrong tap"})
    expect(page.locator(".needs")).to_contain_text("waits with it")
    assert call(page, "device.js", "id") != before
    page.get_by_role("button", name="Send it as a new entry").click()
    expect_saved(page)
    weighed, other, back = site.stated()
    assert (weighed.player, other.player, back.kind) == ("k1", "k2", "withdraw")
    assert back.data["target"] == other.id
    assert len({event.data["ref"].partition("-")[0] for event in (weighed, other)}) == 2


def fault_at(page: Page, player: str) -> None:
    """The server fails at what is about this child."""
    body = json.dumps({"error": {"code": "fault", "message": "Something went wrong here."}})

    def answer(route: Route) -> None:
        if f'"{player}"' in (route.request.post_data or ""):
            route.fulfill(status=500, body=body)
        else:
            route.continue_()

    page.route(ACTS, answer)


@pytest.mark.parametrize("others", [0, 2])
def test_an_act_at_which_the_server_fails_stops_the_others_no_longer(
    site: Site, device: BrowserContext, others: int
) -> None:
    page = opened(device, site)
    expect_trouble(page, "500")
    fault_at(page, "k1")
    act = weigh(page, 1)
    for number in range(2, 2 + others):
        weigh(page, number)
    tap(page, {"kind": "withdraw", "target": act["entries"][0]["ref"], "reason": "wrong tap"})
    expect_saved(page, "1 needs you")
    expect(page.locator(".needs")).to_contain_text("Something went wrong here.")
    assert [event.player for event in site.stated()] == ["k2", "k3"][:others]
    page.unroute(ACTS)
    page.get_by_role("button", name="Send it again").click()
    expect_saved(page)
    assert [event.kind for event in site.stated()][-2:] == ["weigh", "withdraw"]


def test_a_server_that_fails_at_everything_is_waited_for(
    site: Site, device: BrowserContext
) -> None:
    page = opened(device, site)
    expect_trouble(page, "500")
    fault_at(page, "newts")
    for number in (1, 2):
        weigh(page, number)
    page.wait_for_timeout(6000)
    expect_saved(page, "2 wait on this phone")
    expect(page.locator("#why")).to_have_text("The server is busy. It will send by itself.")
    page.unroute(ACTS)
    expect_saved(page)


def test_a_lock_that_a_frozen_tab_holds_is_taken_over(site: Site, device: BrowserContext) -> None:
    frozen, page = opened(device, site), device.new_page()
    frozen.evaluate(
        """() => new Promise((got) => {
          const forever = () => { got(); return new Promise(() => {}); };
          navigator.locks.request("weighbook-send", forever).catch(() => {});
        })"""
    )
    page.clock.install()
    page.goto(f"{site.url}/#/waiting")
    wait_until_ready(page)
    weigh(page, 10)
    page.clock.run_for(20_000)
    expect_saved(page, "1 waits on this phone")
    page.clock.run_for(10_000)
    expect_saved(page)
    assert [event.player for event in site.stated()] == ["k10"]


def test_a_lease_that_nobody_gave_back_runs_out(site: Site, phone: Maker) -> None:
    """A browser without Web Locks, in which the tab that sent was closed meanwhile."""
    context = phone()
    context.add_init_script("Object.defineProperty(navigator, 'locks', { value: undefined });")
    site.sign_in(context)
    page = context.new_page()
    page.clock.install()
    page.goto(f"{site.url}/#/waiting")
    wait_until_ready(page)
    until = page.evaluate("() => Date.now() + 12_000")
    lease = {"holder": "another tab", "until": until}
    call(page, "db.js", "write", "device", "weighbook-send", lease)
    weigh(page, 11)
    page.clock.run_for(5000)
    expect_saved(page, "1 waits on this phone")
    page.clock.run_for(20_000)
    expect_saved(page)
    assert [event.player for event in site.stated()] == ["k11"]
