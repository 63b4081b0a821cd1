"""Forty devices on one game day of twelve games at once: from a tap to its record.

    python -m tests.bench.bench_field [MINUTES] [SOAK_MINUTES]     (default: 3 and 0)

`weighbook serve` runs in a process of its own over a new ledger. The devices, in this process, send
about 3,500 statements as a browser does: an act a request, each device in order. First paced as
over half an hour (MINUTES of it), then as fast as it goes. Every device follows the news of its
game and reads what is new. Goal: paced, 95 of 100 acts are recorded within 150 ms. At the end
every acknowledged statement must be in the ledger once.

The soak repeats the day for SOAK_MINUTES, kills the server every 30 seconds, starts it again, and
sends again what was not acknowledged; then counts the same way, and audits.
"""

from __future__ import annotations

import asyncio
import json
import os
import signal
import socket
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from time import perf_counter, sleep, time

import httpx

from ledger.audit.audit import audit_file
from ledger.field.sessions import Session, Sessions, SignedIn, new_cookie
from ledger.record.times import now_utc
from ledger.store.opening import open_store
from tests.bench.game_day import Device, devices, soon, write_season

HALF_HOUR = 1800.0
GOAL_MS = 150.0
KILLED_EVERY = 30.0
PATIENCE = 60.0
PROGRAM = (sys.executable, "-m", "ledger.commands")


@dataclass
class Server:
    """`weighbook serve` over a ledger, killed and started as the bench likes."""

    ledger: Path
    port: int
    process: subprocess.Popen[str] | None = None
    cookies: tuple[str, ...] = ()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        command = [*PROGRAM, "--store", str(self.ledger), "serve", "--port", str(self.port)]
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
        if not _answers(self.port):
            raise SystemExit("the server did not start")

    def sign_everybody_in(self) -> None:
        """Before it starts: as a server finds the sessions again that it was killed with."""
        sessions = Sessions(self.ledger.with_name(f"{self.ledger.name}.sessions"), time)
        now = time()
        self.cookies = tuple(new_cookie() for _ in devices())
        for cookie, device in zip(self.cookies, devices(), strict=True):
            person = SignedIn(device.official, "terminal", now, now + 12 * 3600)
            sessions.keep(Session.new(cookie).with_person(person))

    def kill(self) -> None:
        assert self.process is not None
        os.kill(self.process.pid, signal.SIGKILL)
        self.process.wait()


@dataclass
class Tally:
    """What the devices saw: milliseconds an act, refusals, and the acknowledged refs."""

    taken: list[float] = field(default_factory=list)
    refs: list[str] = field(default_factory=list)
    others: Counter[str] = field(default_factory=Counter)


class Client:
    """One device: signed in, with its own queue."""

    def __init__(self, server: Server, device: Device, name: str, cookie: str) -> None:
        self.server, self.device, self.name = server, device, name
        self.http = httpx.AsyncClient(
            base_url=server.address, timeout=PATIENCE, cookies={f"weighbook-{server.port}": cookie}
        )
        self.token = ""
        self.position, self.edition = 0, ""

    async def post(self, path: str, body: object) -> httpx.Response:
        headers = {"Origin": self.server.address, "X-Weighbook-Token": self.token}
        return await self.http.post(path, json=body, headers=headers)

    async def begin(self) -> None:
        self.token = (await self.http.get("/api/me")).json()["token"]

    async def send(self, acts: Sequence[int], tally: Tally, pause: float, prefix: str) -> None:
        """These acts in order, a pause between them; each until it is acknowledged."""
        for number in acts:
            act = self._act(number, prefix)
            begin = perf_counter()
            while True:
                try:
                    answer = await self.post("/api/acts", act)
                except httpx.TransportError:
                    tally.others["again"] += 1
                    await asyncio.sleep(0.2)
                    continue
                if answer.status_code == 503:
                    tally.others["busy"] += 1
                    await asyncio.sleep(0.05)
                    continue
                break
            taken = perf_counter() - begin
            if answer.status_code not in (200, 201):
                raise SystemExit(f"{answer.status_code}: {answer.text}\n{act}")
            tally.taken.append(taken * 1000)
            tally.refs += [entry["ref"] for entry in act["entries"]]  # type: ignore[union-attr, index]
            if pause:
                await asyncio.sleep(max(0.0, pause - taken))

    async def follow(self) -> None:
        """The news of the game, and a read from where this device was."""
        while True:
            try:
                async with self.http.stream("GET", "/api/news", timeout=None) as news:
                    async for line in news.aiter_lines():
                        if line.startswith("data:") and self.device.game in line:
                            await self._read()
            except httpx.HTTPError:
                await asyncio.sleep(0.3)

    async def _read(self) -> None:
        where = {"after": self.position, "edition": self.edition}
        answer = await self.http.get(f"/api/games/{self.device.game}", params=where)
        if answer.status_code == 200:
            told = answer.json()
            self.position, self.edition = told["position"], told["edition"]

    def _act(self, number: int, prefix: str) -> dict[str, object]:
        act = f"{prefix}{self.name}-{number + 1}"
        now = now_utc()
        entries = [
            {"ref": f"{act}.{place}", "at": now, **entry}
            for place, entry in enumerate(self.device.acts[number], 1)
        ]
        by, game = self.device.official, self.device.game
        return {"act": act, "game": game, "by": by, "clock": now, "entries": entries}


def _clients(server: Server) -> list[Client]:
    return [
        Client(server, device, f"device{number:02}", cookie)
        for number, (device, cookie) in enumerate(zip(devices(), server.cookies, strict=True))
    ]


def _answers(port: int) -> bool:
    until = perf_counter() + PATIENCE
    while perf_counter() < until:
        try:
            socket.create_connection(("127.0.0.1", port), 0.2).close()
        except OSError:
            sleep(0.05)
        else:
            return True
    return False


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def percentile(values: Sequence[float], part: float) -> float:
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(part * len(ordered)))]


def report(name: str, tally: Tally, seconds: float) -> None:
    taken = tally.taken
    print(
        f"{name}: {len(taken):,} acts, {len(tally.refs):,} statements in {seconds:,.1f} s "
        f"({len(tally.refs) / seconds:,.0f} a second); from tap to recorded: "
        f"median {percentile(taken, 0.5):.0f} ms, p95 {percentile(taken, 0.95):.0f} ms, "
        f"p99 {percentile(taken, 0.99):.0f} ms; {dict(tally.others) or 'nothing sent twice'}"
    )


async def day(server: Server, minutes: float) -> list[str]:
    """Paced, then flat out; the acknowledged refs."""
    clients = _clients(server)
    await asyncio.gather(*(one.begin() for one in clients))
    followers = [asyncio.create_task(one.follow()) for one in clients]
    share = min(1.0, minutes * 60 / HALF_HOUR)
    refs: list[str] = []
    for name, parts in (("paced", (0.0, share)), ("as fast as it goes", (share, 1.0))):
        tally, begin = Tally(), perf_counter()
        sending = []
        for one in clients:
            count = len(one.device.acts)
            acts = range(int(parts[0] * count), int(parts[1] * count))
            pause = HALF_HOUR / count if name == "paced" else 0.0
            sending.append(one.send(acts, tally, pause, ""))
        await asyncio.gather(*sending)
        if tally.taken:
            report(name, tally, perf_counter() - begin)
        if name == "paced" and tally.taken and percentile(tally.taken, 0.95) > GOAL_MS:
            print(f"  goal missed: p95 under {GOAL_MS:.0f} ms")
        refs += tally.refs
    for follower in followers:
        follower.cancel()
    return refs


async def soak(server: Server, minutes: float) -> list[str]:
    """The day again and again, with restarts; the acknowledged refs."""
    clients = _clients(server)
    await asyncio.gather(*(one.begin() for one in clients))
    tally, begin, kills = Tally(), perf_counter(), 0

    async def restarts() -> None:
        nonlocal kills
        while True:
            await asyncio.sleep(KILLED_EVERY)
            server.kill()
            kills += 1
            await asyncio.to_thread(server.start)

    killer = asyncio.create_task(restarts())
    turn = 0
    while perf_counter() - begin < minutes * 60:
        turn += 1
        pause = 0.5
        await asyncio.gather(
            *(one.send(range(len(one.device.acts)), tally, pause, f"soak{turn}") for one in clients)
        )
    killer.cancel()
    report(f"soak with {kills} kills", tally, perf_counter() - begin)
    return tally.refs


def check(ledger: Path, refs: Sequence[str]) -> None:
    """Every acknowledged statement is in the ledger once, and the audit finds no problem."""
    with closing(open_store(ledger)) as store:
        kept = Counter(str(one.event.data["ref"]) for one in store.events(with_ref=["yes"]))
    lost = [ref for ref in refs if kept[ref] != 1]
    twice = [ref for ref, count in kept.items() if count > 1]
    audit = audit_file(ledger)
    print(f"acknowledged {len(refs):,}, lost {len(lost)}, twice {len(twice)}, audit: {audit.ok}")
    if lost or twice or not audit.ok:
        raise SystemExit(f"lost {lost[:5]}, twice {twice[:5]}")


def main(minutes: str = "3", soak_minutes: str = "0") -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_season(folder / "season", soon())
        for what, length in (("day", float(minutes)), ("soak", float(soak_minutes))):
            if what == "soak" and not length:
                continue
            ledger = folder / f"{what}.weighbook"
            loading = [*PROGRAM, "--store", str(ledger), "load"]
            subprocess.run([*loading, str(folder / "season")], check=True, capture_output=True)
            server = Server(ledger, free_port())
            server.sign_everybody_in()
            server.start()
            try:
                run = day if what == "day" else soak
                refs = asyncio.run(run(server, length))
            finally:
                server.kill()
            check(ledger, refs)


if __name__ == "__main__":
    print(json.dumps({"begun": datetime.now(tz=UTC).isoformat(timespec="seconds")}))
    main(*sys.argv[1:])
