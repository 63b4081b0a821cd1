"""`weighbook serve` over a small ledger: in a process of its own, to be killed and started again.

Acorn: the Newts (k1 to k12, numbers 1 to 12) at home, the Marmots (m1 to m12) visit; 95 lb. Game
`acorn-1a` on 5 September 2026. PASSPHRASE opens the keys of weighmasters, play counter and site
official.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterable
from contextlib import closing
from pathlib import Path
from types import TracebackType
from typing import Self

import pytest
from playwright.sync_api import BrowserContext

from ledger.actions.asking import Acting
from ledger.actions.beginning import begin, practice_plan
from ledger.actions.keys import enroll
from ledger.chain import keys
from ledger.chain.event import Event
from ledger.field.hotspot.certificates import name_of, utc_now
from ledger.field.hotspot.files import write_authority
from ledger.store.opening import open_store
from tests.once import made_once
from tests.tiny import events_in, load, write_folder

PASSPHRASE = "invented words for a test"
GAME = "acorn-1a"
KEYED = ("newts-wm1", "marmots-wm1", "marmots-wm2", "newts-pc", "site")
_NAMES = (
    "Pip",
    "Ottla",
    "Juno",
    "Wren",
    "Tuck",
    "Fenn",
    "Moss",
    "Brin",
    "Cass",
    "Dell",
    "Esk",
    "Fay",
)
TEXTS = {
    "divisions": "division,name,carrier_limit_lb\nacorn,Acorn,95\n",
    "teams": "team,association,division,name\nnewts,,acorn,Newts\nmarmots,,acorn,Marmots\n",
    "players": "player,team,number,name\n"
    + "".join(
        f"{letter}{number},{team},{number},{name} {surname}\n"
        for letter, team, surname in (("k", "newts", "Quillfeather"), ("m", "marmots", "Saltmarsh"))
        for number, name in enumerate(_NAMES, 1)
    ),
    "officials": "official,name,role,team\n"
    "newts-wm1,Ana Thistlewood,weighmaster,newts\n"
    "marmots-wm1,Ivo Larkspur,weighmaster,marmots\n"
    "marmots-wm2,Una Fernsby,weighmaster,marmots\n"
    "newts-pc,Lou Pennyroyal,play_counter,\n"
    "site,Ada Whinberry,site_official,\n"
    "registrar,Kit Underbough,registrar,\n"
    "president,Eve Merriweather,division_president,\n",
    "games": "game,division,kickoff,site,home,visitor\n"
    "acorn-1a,acorn,2026-09-05T09:00,Green Field,newts,marmots\n"
    "acorn-2a,acorn,2026-09-12T09:00,,marmots,newts\n",
}


LEDGER = "season.weighbook"
_REAL_COST = keys.SCRYPT_COST
"""Read before the tests make it small."""


def give_keys(ledger: Path, officials: Iterable[str]) -> None:
    """Keys that PASSPHRASE opens, sealed at the cost that this process has."""
    with closing(open_store(ledger)) as store:
        for official in officials:
            enroll(store, official, by="registrar", acting=Acting(new_passphrase=PASSPHRASE))


def _make(folder: Path) -> None:
    load(folder / LEDGER, write_folder(folder / "season", **TEXTS))
    give_keys(folder / LEDGER, KEYED)


class Site:
    """`url` stays the same when the server is killed and started again.

    Over another ledger with `make(folder)`, which makes LEDGER there, once in a run as `name`.
    """

    def __init__(
        self, folder: Path, name: str = "scale table", make: Callable[[Path], None] = _make
    ) -> None:
        made = made_once(name, make)
        self.ledger = Path(shutil.copy(made / LEDGER, folder / LEDGER))
        self.port = 0
        self._before = 0
        self.process: subprocess.Popen[str] | None = None
        self.terminal_code = ""

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:  # fmt: skip
        self.kill()

    ways: tuple[str, ...] = ()
    """More options of `weighbook serve`."""

    real_cost = False
    """Whether its keys cost what they do for a league: half a second a passphrase."""

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def begin_anew(self) -> None:
        """For the next test: a server that runs, and nothing stated yet."""
        if self.process is None:
            self.start()
        self._before = len(events_in(self.ledger))

    def start(self, static: Path | None = None) -> None:
        """Serve; with `static`, a build of the page whose files lie there."""
        words = ["serve", "--store", str(self.ledger), "--port", str(self.port), *self.ways]
        cost = _REAL_COST if self.real_cost else keys.SCRYPT_COST
        code = (
            "from ledger.chain import keys; from ledger.field import shell; "
            f"from ledger.commands import main; keys.SCRYPT_COST = {cost}; "
        )
        if static is not None:
            code += f"import pathlib; shell.STATIC = pathlib.Path({str(static)!r}); "
        self.process = subprocess.Popen(
            [sys.executable, "-c", f"{code}main()", *words],
            stdout=subprocess.PIPE,
            text=True,
            env=os.environ | {"PYTHONUNBUFFERED": "1"},
        )
        said = ""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            said += line
            if found := re.search(r"page is at https?://[\w.-]+:(\d+)", line):
                self.port = int(found[1])
            if found := re.search(r"\b(\d{6})\b", line):
                self.terminal_code = found[1]
            if self.port and self.terminal_code:
                return
        raise AssertionError(f"the server ended: {said}")

    def kill(self, how: signal.Signals = signal.SIGKILL) -> None:
        if self.process is not None:
            self.process.send_signal(how)
            self.process.wait()
            assert self.process.stdout is not None
            self.process.stdout.close()
            self.process = None

    def sign_in(self, context: BrowserContext, *officials: str) -> None:
        """Sign these officials in on the device, with their keys."""
        for official in officials or ("marmots-wm1",):
            self.post(context, "/api/sign-in", {"official": official, "passphrase": PASSPHRASE})

    def confirm_here(self, context: BrowserContext, official: str) -> None:
        """Sign in an official without a key, by the code that the terminal shows."""
        self.post(context, "/api/sign-in", {"official": official})
        code = {"official": official, "terminal": self.terminal_code}
        self.post(context, "/api/confirm", code)
        assert self.process is not None
        assert self.process.stdout is not None
        found = None
        while found is None:
            found = re.search(r"\b(\d{6})\b", self.process.stdout.readline())
        self.terminal_code = found[1]

    def post(self, context: BrowserContext, path: str, body: dict[str, object]) -> object:
        token = context.request.get(f"{self.url}/api/me").json()["token"]
        headers = {"Origin": self.url, "X-Weighbook-Token": token}
        answer = context.request.post(f"{self.url}{path}", data=body, headers=headers)
        assert answer.ok, answer.text()
        return answer.json()

    def stated(self, kinds: Iterable[str] = ()) -> list[Event]:
        """The test's events that came from devices, in the ledger's order."""
        wanted = set(kinds)
        events = [one for one in events_in(self.ledger)[self._before :] if one.data.get("ref")]
        return [one for one in events if not wanted or one.kind in wanted]


class Hotspot(Site):
    """The same over TLS, as in a hotspot: under the authority's name, on loopback."""

    ways = ("--hotspot", "--host", "127.0.0.1")

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.name = name_of(write_authority(self.ledger, utc_now()))

    @property
    def url(self) -> str:
        return f"https://{self.name}:{self.port}"


class Morning(Site):
    """A practice season whose first game, `practice-1`, is half an hour from now; in `season/`.

    Drums visit Kites; the weighmaster of each side and the site official have keys, as costly as a
    league's.
    """

    real_cost = True

    def __init__(self, folder: Path) -> None:
        self.ledger = folder / LEDGER
        self.port = 0
        self._before = 0
        self.process = None
        self.terminal_code = ""
        begin(folder / "season", practice_plan(None))
        load(self.ledger, folder / "season")
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(keys, "SCRYPT_COST", _REAL_COST)
            give_keys(self.ledger, ("kites-wm1", "drums-wm1", "site-1"))


class Practicing(Site):
    """`weighbook serve --practice`."""

    def __init__(self, port: int = 0) -> None:
        self.port = port
        self.process = None

    def start(self, static: Path | None = None) -> None:
        words = ["serve", "--practice", "--port", str(self.port)]
        code = "from ledger.chain import keys; from ledger.commands import main; "
        self.process = subprocess.Popen(
            [sys.executable, "-c", f"{code}keys.SCRYPT_COST = {keys.SCRYPT_COST}; main()", *words],
            stdout=subprocess.PIPE,
            text=True,
            env=os.environ | {"PYTHONUNBUFFERED": "1"},
        )
        assert self.process.stdout is not None
        found = re.search(r"http://127\.0\.0\.1:(\d+)", self.process.stdout.readline())
        assert found, "the server ended"
        self.port = int(found[1])

    def kill(self, how: signal.Signals = signal.SIGTERM) -> None:
        """So that it removes what it made."""
        super().kill(how)


class MorningAway(Hotspot, Morning):
    """That season on a server which phones reach by TLS, and leave."""
