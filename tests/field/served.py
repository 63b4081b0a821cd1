"""The page's server in this process, without a socket: its application on a loop of its own.

    with served(path) as server:
        browser = server.browser()
        browser.sign_in("wa", "invented words")
        assert browser.get("/api/day").status == 200

A `Browser` keeps its cookie and sends origin and token as a page does. What is to be wrong about a
request is given by name; None leaves a header out.
"""

from __future__ import annotations

import asyncio
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.cookies import SimpleCookie
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import orjson
from anyio.from_thread import BlockingPortal, start_blocking_portal
from requests import PreparedRequest
from starlette.applications import Starlette

from ledger.field.app import make_app
from ledger.field.desk import Desk, Setting
from ledger.field.guard import Place
from tests.field.desk import HERE, Clock

PORT = 8000
ORIGIN = f"http://127.0.0.1:{PORT}"
LONGEST_SECONDS = 20.0


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    headers: Mapping[str, str]
    cookies: tuple[str, ...]
    content: bytes

    @property
    def json(self) -> Any:
        return orjson.loads(self.content)

    @property
    def code(self) -> str:
        """Of an error."""
        return str(self.json["error"]["code"])


class Server:
    """The application, and what its terminal was told."""

    def __init__(self, portal: BlockingPortal, app: Starlette, told: list[str], clock: Clock):
        self.portal, self.app, self.told, self.clock = portal, app, told, clock

    @property
    def desk(self) -> Desk:
        found: Desk = self.app.state.desk
        return found

    def browser(self, **given: Any) -> Browser:
        return Browser(self, **given)

    def ask(
        self, method: str, target: str, headers: Mapping[str, str], body: bytes, address: str
    ) -> Answer:
        """One request. A stream is ended after its first words."""
        return self.portal.call(_ask, self.app, method, target, headers, body, address)


@dataclass
class Browser:
    """A device; `token` is read when first needed."""

    server: Server
    origin: str = ORIGIN
    address: str = HERE
    cookie: str | None = None
    token: str | None = None
    headers: dict[str, str | None] = field(default_factory=dict)

    def get(self, path: str, **headers: str | None) -> Answer:
        return self._ask("GET", path, _named(headers), b"")

    def post(self, path: str, body: Any = None, **headers: str | None) -> Answer:
        if self.token is None:
            self.me()
        content = body if isinstance(body, bytes) else orjson.dumps({} if body is None else body)
        own = {"origin": self.origin, "x-weighbook-token": self.token}
        return self._ask(
            "POST", path, own | {"content-type": "application/json"} | _named(headers), content
        )

    def send(self, request: PreparedRequest) -> Answer:
        """A request made elsewhere, sent as a page of ours would."""
        self.token = self.token or self.me()["token"]
        own = {"origin": self.origin, "x-weighbook-token": self.token}
        told = {name.lower(): value for name, value in request.headers.items()}
        body = request.body or b""
        content = body.encode() if isinstance(body, str) else body
        headers = {"content-type": told.get("content-type")} | own
        return self._ask(str(request.method), request.path_url, headers, content)

    def me(self) -> Any:
        found = self.get("/api/me")
        assert found.status == 200, found.content
        self.token = found.json["token"]
        return found.json

    def sign_in(self, official: str, passphrase: str | None = None) -> Any:
        body = {"official": official} | ({"passphrase": passphrase} if passphrase else {})
        answer = self.post("/api/sign-in", body)
        assert answer.status == 200, answer.content
        self.token = answer.json["token"]
        return answer.json

    def sign_in_confirmed(self, official: str) -> Browser:
        """Signed in without a key, and confirmed by the terminal's code."""
        self.sign_in(official)
        said = {"official": official, "terminal": self.server.told[-1]}
        answer = self.post("/api/confirm", said)
        assert answer.status == 200, answer.content
        return self

    def _ask(
        self, method: str, path: str, headers: Mapping[str, str | None], body: bytes
    ) -> Answer:
        own = {"host": self.origin.partition("://")[2], "cookie": self.cookie}
        said = {
            name: value
            for name, value in {**own, **self.headers, **headers}.items()
            if value is not None
        }
        answer = self.server.ask(method, path, said, body, self.address)
        for line in answer.cookies:
            for name, morsel in SimpleCookie(line).items():
                self.cookie = f"{name}={morsel.value}"
        return answer


def _named(headers: Mapping[str, str | None]) -> dict[str, str | None]:
    return {name.replace("_", "-"): value for name, value in headers.items()}


@contextmanager
def served(path: Path, place: Place | None = None) -> Iterator[Server]:
    """The ledger's server, from its start to its end; its people go by a clock of the test's."""
    told: list[str] = []
    setting = Setting(path, "office", place or Place.on_loopback(PORT), told.append)
    with served_as(setting, told) as server:
        yield server


@contextmanager
def served_as(setting: Setting, told: list[str] | None = None) -> Iterator[Server]:
    """A server that stands so."""
    clock = Clock()
    with start_blocking_portal() as portal:
        app = portal.call(_make, setting, clock)
        with portal.wrap_async_context_manager(app.router.lifespan_context(app)):
            yield Server(portal, app, told or [], clock)


async def _make(setting: Setting, clock: Clock) -> Starlette:
    return make_app(Desk(setting, now=clock))


async def _ask(
    app: Starlette, method: str, target: str, headers: Mapping[str, str], body: bytes, address: str
) -> Answer:
    path, _, query = target.partition("?")
    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method,
        "scheme": "http", "path": unquote(path), "raw_path": path.encode(), "root_path": "",
        "query_string": query.encode(), "client": (address, 50_000), "server": ("127.0.0.1", PORT),
        "headers": [(name.encode(), value.encode("latin-1")) for name, value in headers.items()],
    }  # fmt: skip
    begun, content, gone = {}, bytearray(), asyncio.Event()
    asked = [{"type": "http.request", "body": body, "more_body": False}]

    async def receive() -> Any:
        if asked:
            return asked.pop()
        await gone.wait()
        return {"type": "http.disconnect"}

    async def send(message: Any) -> None:
        if message["type"] == "http.response.start":
            begun.update(message)
        else:
            content.extend(message.get("body", b""))
            if content:
                gone.set()

    async with asyncio.timeout(LONGEST_SECONDS):
        await app(scope, receive, send)
    told = [(name.decode(), value.decode("latin-1")) for name, value in begun["headers"]]
    cookies = tuple(value for name, value in told if name == "set-cookie")
    return Answer(begun["status"], dict(told), cookies, bytes(content))
