"""weighbook serve as a process: what it says, how it ends, and what a kill loses: nothing."""

from __future__ import annotations

import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager, suppress
from itertools import islice
from pathlib import Path
from typing import Any

import httpx
import pytest

from ledger.actions.erasing import erase_child, look_before_erasing
from ledger.audit.audit import audit_file
from ledger.errors import InputError, StoreError
from ledger.field import people, reading
from ledger.field.doors import listen
from ledger.field.serving import HOST, check_host, check_origin, make_ready
from ledger.store import waiting
from ledger.store.opening import open_store
from tests.field.running import Browser, served
from tests.many_writers import write_at_once
from tests.store.sqlite.form1 import write_form1
from tests.tiny import events_in, load, write_folder

WEIGH = {"kind": "weigh", "team": "elm", "number": "1", "value": "ok"}


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    path = tmp_path / "served.weighbook"
    load(path, write_folder(tmp_path / "season"))
    return path


@contextmanager
def process(ledger: Path, *options: str) -> Iterator[tuple[subprocess.Popen[str], str, list[str]]]:
    """`weighbook serve` on a free port: the process, the page's address, the codes so far."""
    command = [sys.executable, "-m", "ledger.commands", "serve", "--store", str(ledger)]
    with subprocess.Popen(
        [*command, "--port", "0", *options],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    ) as started:
        try:
            assert started.stdout is not None
            lines: list[str] = []
            while not any("type this code" in line for line in lines):
                line = started.stdout.readline()
                assert line, started.stderr.read() if started.stderr else ""
                lines.append(line)
            text = "".join(lines)
            (url,) = re.findall(r"The page is at (\S+)", text)
            yield started, url, re.findall(r"\b\d{6}\b", text)
        finally:
            if started.poll() is None:
                started.kill()


def next_code(started: subprocess.Popen[str]) -> str:
    assert started.stdout is not None
    return re.findall(r"\d{6}", started.stdout.readline())[0]


def test_it_says_where_and_ends_quietly(ledger: Path) -> None:
    with process(ledger) as (started, url, codes):
        assert re.fullmatch(r"http://127\.0\.0\.1:\d+", url)
        assert len(codes) == 1
        assert httpx.get(url).status_code == 200
        started.send_signal(signal.SIGINT)
        out, err = started.communicate(timeout=20)
    assert started.returncode == 0
    assert out == ""
    assert err == "Stopped. Everything that was answered is recorded.\n"


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGHUP])
def test_it_ends_so_too_with_a_stream_open(ledger: Path, how: signal.Signals) -> None:
    with process(ledger) as (started, url, codes):
        browser = Browser(url)
        browser.sign_in("wa", codes)
        with browser.http.stream("GET", "/api/news") as stream:
            assert next(stream.iter_lines()).startswith("retry")
            started.send_signal(how)
            _, err = started.communicate(timeout=10)  # before a stream says again that it is here
        browser.http.close()
    assert started.returncode == 0
    assert err == "Stopped. Everything that was answered is recorded.\n"


def test_it_ends_while_another_program_holds_the_ledger(ledger: Path) -> None:
    """What still waits for the lock is answered as busy: the device keeps it."""
    with process(ledger) as (started, url, codes), ThreadPoolExecutor(1) as pool:
        browser = Browser(url)
        browser.sign_in("wa", codes)
        with closing(sqlite3.connect(ledger, isolation_level=None)) as other:
            other.execute("begin immediate")
            posting = pool.submit(browser.post, "/api/acts", browser.act("wa", WEIGH))
            while "Waiting" not in (line := _line_of(started)):
                assert line
            started.send_signal(signal.SIGINT)
            answer = posting.result(20)
            started.communicate(timeout=20)
        browser.http.close()
    assert (answer.status_code, answer.json()["error"]["code"]) == (503, "busy")
    assert started.returncode == 0
    assert not [event for event in events_in(ledger) if event.kind == "weigh"]


def _line_of(started: subprocess.Popen[str]) -> str:
    assert started.stderr is not None
    return started.stderr.readline()


def test_a_kill_loses_no_acknowledged_act(ledger: Path) -> None:
    """Four devices tap as fast as they can; the server is killed in the middle."""
    before = {event.id for event in events_in(ledger)}
    answered: dict[str, str] = {}

    def tap(browser: Browser) -> None:
        with suppress(httpx.HTTPError):  # the kill
            while not started.poll():
                act = browser.act("wa", WEIGH)
                answer = browser.post("/api/acts", act)
                assert answer.status_code == 201
                answered[act["entries"][0]["ref"]] = answer.json()["events"][0]

    with process(ledger) as (started, url, codes):
        browsers = [Browser(url) for _ in range(4)]
        for browser in browsers:
            browser.sign_in("wa", codes)
            codes.append(next_code(started))
        with ThreadPoolExecutor(4) as pool:
            tapping = [pool.submit(tap, browser) for browser in browsers]
            while len(answered) < 40:
                time.sleep(0.01)
            started.kill()
            for one in tapping:
                one.result(20)
        for browser in browsers:
            browser.http.close()
    held = {e.data["ref"]: e.id for e in events_in(ledger) if e.id not in before}
    assert answered.items() <= held.items()
    assert len(held) <= len(answered) + 4
    assert not audit_file(ledger).problems


def test_a_command_beside_it(ledger: Path) -> None:
    with served(ledger) as server:
        browser = server.browser("wa")
        position = browser.get("/api/games/g1")["position"]
        (ours,) = browser.state("wa", WEIGH)
        record = [sys.executable, "-m", "ledger.commands", "--store", str(ledger), "record"]
        record += ["stripe", "--game", "g1", "--team", "elm", "--number", "1", "--by", "wa"]
        with browser.http.stream("GET", "/api/news") as stream:
            lines = stream.iter_lines()
            next(lines)
            subprocess.run(record, check=True, capture_output=True)
            news = next(line for line in islice(lines, 20) if '"position":2' in line)
        assert '"game":"g1"' in news
        (theirs,) = browser.state("wa", WEIGH)
        kinds = [one["kind"] for one in browser.entries()[position:]]
        assert kinds == ["weigh", "stripe", "weigh"]
        assert [event.id for event in events_in(ledger)][-3::2] == [ours, theirs]


def test_programs_that_write_at_once(ledger: Path) -> None:
    """Two other processes and a device, about the same game: nothing lost, nothing twice."""
    with served(ledger) as server, ThreadPoolExecutor(1) as pool:
        browser = server.browser("wa")
        writing = pool.submit(write_at_once, ledger, 2, 30, seconds=60)
        ours: list[str] = []
        while not writing.done():
            ours += browser.state("wa", WEIGH)
        theirs, _ = writing.result()
        shown = [one["event"] for one in browser.entries()]
    held = [event.id for event in events_in(ledger) if event.game == "g1" and event.at]
    assert sorted(shown) == sorted(held)
    assert len(ours) > 2
    assert {*ours, *(one for ids in theirs.values() for one in ids)} >= {*held}
    assert {*ours} <= {*held}


def test_two_devices_hear_of_each_other(ledger: Path) -> None:
    with served(ledger) as server:
        one, other = server.browser("wa"), server.browser("we")
        edition = one.get("/api/games/g1")["edition"]
        with one.http.stream("GET", "/api/news") as stream:
            lines = stream.iter_lines()
            next(lines)
            other.state("we", WEIGH | {"team": "ash"})
            data = next(line for line in lines if line.startswith('data: {"game"'))
        assert data == f'data: {{"game":"g1","position":1,"edition":"{edition}"}}'


def test_a_reader_of_another_server_begins_anew(ledger: Path) -> None:
    """Between two chains the order may be another after a start, so nothing may be left out."""
    with served(ledger) as server:
        browser = server.browser("wa")
        browser.state("wa", WEIGH)
        was = browser.get("/api/games/g1")
    with served(ledger) as server:
        browser = server.browser("wa")
        now = browser.get(f"/api/games/g1?after={was['position']}&edition={was['edition']}")
    assert (now["after"], len(now["entries"])) == (0, 1)
    assert now["head"] == was["head"]
    assert now["edition"] != was["edition"]


def test_what_was_erased_is_no_longer_told(ledger: Path) -> None:
    with served(ledger) as server:
        browser = server.browser("wa")
        browser.state("wa", WEIGH | {"number": "77", "name": "Bo Yarrow"})
        named = browser.get("/api/games/g1")
        assert named["entries"][0]["name"] == "Bo Yarrow"
        store = open_store(ledger)
        erase_child(store, look_before_erasing(store, "e1", by="rg", reason="asked by a parent"))
        store.close()
        erased = browser.get(f"/api/games/g1?after=1&edition={named['edition']}")
        names = {p["player"]: p["name"] for t in erased["head"]["teams"] for p in t["players"]}
        assert names["e1"] is None
        assert names["e2"] == "Teodor Fennimoor"


PROXIED = "https://league.example.org"


def asked(url: str, origin: str, tries: int) -> list[int]:
    """The answers to sign-ins, each forwarded for another address."""
    with httpx.Client(base_url=url, headers={"Host": origin.partition("://")[2]}) as http:
        me = http.get("/api/me")
        cookie = me.headers["set-cookie"].partition(";")[0]
        own = {"Origin": origin, "Cookie": cookie, "X-Weighbook-Token": me.json()["token"]}
        found = []
        for number in range(tries):
            forwarded = {"X-Forwarded-For": f"198.51.{number}.1", "X-Forwarded-Proto": "https"}
            http.cookies.clear()
            answer = http.post("/api/sign-in", json={"official": "wa"}, headers=own | forwarded)
            found.append(answer.status_code)
            if answer.status_code == 200:
                own["Cookie"] = answer.headers["set-cookie"].partition(";")[0]
                own["X-Weighbook-Token"] = answer.json()["token"]
    return found


def test_a_ledger_of_an_older_form_is_upgraded_first(tmp_path: Path) -> None:
    path = write_form1(tmp_path / "old.weighbook")
    said: list[str] = []
    make_ready(path, said.append)
    make_ready(path, said.append)
    assert said == ["Upgraded the ledger to form 2."]
    with served(path) as server:
        browser = server.browser("wa")
        before = browser.entries()
        browser.state("wa", WEIGH)
        assert len(browser.entries()) == len(before) + 1


def test_a_ledger_that_cannot_be_written_is_told_at_the_start(ledger: Path) -> None:
    with (
        closing(sqlite3.connect(ledger, timeout=0)) as other,
        pytest.MonkeyPatch.context() as patch,
    ):
        other.execute("begin immediate")
        patch.setattr(waiting, "STEPS", 1)
        patch.setattr(waiting, "STEP_SECONDS", 0)
        with pytest.raises(StoreError, match="another program has kept the ledger busy"):
            make_ready(ledger, print)


def test_no_read_transaction_outlives_an_answer(ledger: Path) -> None:
    """Else the log beside the ledger would grow as long as the server runs."""
    with served(ledger) as server:
        browser = server.browser("wa")
        browser.state("wa", WEIGH)
        browser.get("/api/day?date=2026-09-05")
        browser.entries()
        assert browser.http.get("/api/games/g1/teams/elm/open").status_code == 200
        beside = sqlite3.connect(ledger)
        assert beside.execute("pragma wal_checkpoint(truncate)").fetchone() == (0, 0, 0)
        beside.close()


def test_behind_a_proxy_browsers_know_it_by_its_origin(ledger: Path) -> None:
    with served(ledger, origin=PROXIED) as server:
        answer = httpx.get(f"{server.url}/api/me", headers={"Host": "league.example.org"})
        assert answer.status_code == 200
        assert answer.json()["mode"] == "proxy"
        cookie = answer.headers["set-cookie"]
        assert cookie.startswith("__Host-weighbook=")
        assert {"Secure", "HttpOnly", "SameSite=strict", "Path=/"} <= {*cookie.split("; ")}
        assert httpx.get(f"{server.url}/api/me").status_code == 421


def test_who_asks_is_told_by_the_proxy_alone(ledger: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tries of a sign-in are counted by address: nobody may choose one."""
    monkeypatch.setattr(people, "ASKS", 10)
    with served(ledger, origin=PROXIED) as server:
        assert {*asked(server.url, PROXIED, 12)} == {200}
    with served(ledger) as server:
        assert asked(server.url, server.url, 12)[-1] == 429


def test_a_port_in_use_is_one_clear_error(ledger: Path) -> None:
    with listen(HOST, 0) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(StoreError) as caught:
            listen(HOST, port)
    assert caught.value.message == f"port {port} cannot be used: Address already in use"
    assert "--port" in caught.value.hint


def test_an_address_of_another_computer_is_one_clear_error() -> None:
    with pytest.raises(StoreError, match=r"192\.168\.255\.254 is not an address of this computer"):
        listen("192.168.255.254", 0)


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.0.2.7", "example.org"])
def test_plain_http_is_for_this_computer(host: str) -> None:
    with pytest.raises(InputError) as caught:
        check_host(host)
    assert "plain HTTP on this computer only" in caught.value.message


@pytest.mark.parametrize(
    ("typed", "origin"),
    [
        ("https://league.example.org", "https://league.example.org"),
        ("https://League.example.org/", "https://league.example.org"),
        ("https://league.example.org:443", "https://league.example.org"),
        ("https://league.example.org:8443", "https://league.example.org:8443"),
    ],
)
def test_an_origin_is_as_browsers_write_it(typed: str, origin: str) -> None:
    assert check_origin(typed) == origin


@pytest.mark.parametrize(
    "typed",
    ["http://league.example.org", "league.example.org", "https://", "https://a.example/page",
     "https://me@a.example", "https://a.example:port", "https://a.example?x", "https://[::1"],
)  # fmt: skip
def test_anything_else_is_no_origin(typed: str) -> None:
    with pytest.raises(InputError):
        check_origin(typed)


def test_an_answer_waits_for_no_delay() -> None:
    with listen(HOST, 0) as listening, socket.create_connection(listening.getsockname()):
        accepted, _ = listening.accept()
        assert accepted.proto == socket.IPPROTO_TCP  # asyncio asks for this before it sets it
        accepted.close()


def test_no_other_command_imports_the_server() -> None:
    program = "import sys, ledger.commands as c; [c.weighbook.get_command(None, n) for n in "
    program += "c.COMMANDS]; print({m.partition('.')[0] for m in sys.modules})"
    ran = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert "click" in ran.stdout
    assert not {"starlette", "uvicorn", "anyio", "httpx"} & {*re.findall(r"\w+", ran.stdout)}


def test_a_fault_of_ours_names_nobody(
    ledger: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def fails(*args: Any) -> None:
        raise KeyError("Pip Quillfeather")

    monkeypatch.setattr(reading, "day_of", fails)
    with served(ledger) as server:
        browser = server.browser("wa")
        answer = browser.http.get("/api/day?date=2026-09-05")
        again = browser.http.get("/api/games/g1")
    assert (answer.status_code, again.status_code) == (500, 200)
    assert answer.json()["error"]["code"] == "fault"
    assert answer.headers["cache-control"] == "no-store"
    told = capfd.readouterr().err
    assert re.match(r"weighbook serve: a fault: KeyError at test_serving\.py:\d+, ", told)
    assert "Pip" not in told
    assert "2026-09-05" not in told
