"""What holds for every request and answer: headers, origin, token, cookie, sessions, limits."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.actions.keys import revoke
from ledger.field.guard import HEADERS, Place
from ledger.field.rights import CALLS
from ledger.store.opening import open_store
from tests.field.desk import SECRET, WORDS, make_ledger
from tests.field.served import ORIGIN, Browser, Server, served

SECURE = "https://weighbook.example"
POSTS = [call.partition(" ")[2] for call in CALLS if call.startswith("POST ")]


def address(path: str) -> str:
    return path.replace("{game}", "g1").replace("{team}", "elm")


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    with served(make_ledger(tmp_path)) as found:
        yield found


@pytest.fixture
def behind(tmp_path: Path) -> Iterator[Server]:
    """Behind a league's proxy."""
    with served(make_ledger(tmp_path), Place.behind_proxy(SECURE)) as found:
        yield found


def events(server: Server) -> dict[str, int]:
    store = open_store(server.desk.setting.ledger)
    try:
        return dict(store.lengths())
    finally:
        store.close()


def test_every_answer_has_the_headers(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    browser = server.browser().sign_in_confirmed("wa")

    def breaks(*args: object, **kwargs: object) -> bytes:
        raise RuntimeError

    monkeypatch.setattr("ledger.field.games.Games.answer", breaks)
    answers = {
        200: browser.get("/"),
        404: browser.get("/nothing"),
        405: browser.get("/api/acts"),
        421: browser.get("/api/me", host="stranger.example"),
        403: browser.post("/api/acts", {}, origin=None),
        401: server.browser().get("/api/day"),
        400: browser.post("/api/acts", b"{"),
        415: browser.post("/api/acts", {}, content_type="text/plain"),
        413: browser.post("/api/acts", b"x" * 70_000),
        500: browser.get("/api/games/g1"),
    }
    for status, answer in answers.items():
        assert answer.status == status
        assert HEADERS.items() <= answer.headers.items()
        assert "strict-transport-security" not in answer.headers
    for status in answers.keys() - {200}:
        assert answers[status].headers["content-type"] == "application/json"
        assert answers[status].code
        assert answers[status].headers["cache-control"] == "no-store"


def test_the_policy_lets_nothing_in() -> None:
    policy = HEADERS["content-security-policy"]
    assert policy.startswith("default-src 'none'; ")
    for loose in ("unsafe", "*", "http:", "https:"):
        assert loose not in policy
    # A scan that the page itself was given lies beside the typing as a picture, and only as that.
    assert [part.split()[0] for part in policy.split("; ") if "blob:" in part] == ["img-src"]
    for strict in ("base-uri 'none'", "frame-ancestors 'none'", "form-action 'self'"):
        assert strict in policy


def test_what_has_names_is_kept_in_no_cache(server: Server) -> None:
    browser = server.browser().sign_in_confirmed("wa")
    for path in ("/api/me", "/api/day", "/api/officials", "/api/games/g1", "/api/sessions",
                 "/print/list/g1/elm", "/print/card/g1"):  # fmt: skip
        answer = browser.get(path)
        assert (answer.status, answer.headers["cache-control"]) == (200, "no-store"), path


@pytest.mark.parametrize("path", POSTS)
@pytest.mark.parametrize(
    ("headers", "code"),
    [
        ({"origin": None}, "origin"),
        ({"origin": "https://stranger.example"}, "origin"),
        ({"origin": "null"}, "origin"),
        ({"origin": "http://127.0.0.1:9999"}, "origin"),
        ({"origin": "https://127.0.0.1:8000"}, "origin"),
        ({"origin": ORIGIN + ".stranger.example"}, "origin"),
        ({"x_weighbook_token": None}, "token"),
        ({"x_weighbook_token": ""}, "token"),
        ({"x_weighbook_token": "é" * 64}, "token"),
        ({"x_weighbook_token": "0" * 64}, "token"),
        ({"cookie": None}, "token"),
        ({"content_type": None}, "not_json"),
        ({"content_type": "application/x-www-form-urlencoded"}, "not_json"),
        ({"content_type": "text/plain; application/json"}, "not_json"),
        ({"content_length": "9" * 5000}, "too_large"),
        ({"content_length": "-1"}, "too_large"),
        ({"host": "stranger.example"}, "wrong_host"),
        ({"host": None}, "wrong_host"),
    ],
)  # fmt: skip
def test_a_request_that_no_page_of_ours_makes(
    shared: Browser, path: str, headers: dict[str, str | None], code: str
) -> None:
    before = events(shared.server), list(shared.server.desk.people.sessions)
    answer = shared.post(address(path), {}, **headers)
    assert (answer.code, answer.status) == (code, {
        "not_json": 415, "too_large": 413, "wrong_host": 421,
    }.get(code, 403))  # fmt: skip
    assert (events(shared.server), list(shared.server.desk.people.sessions)) == before


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    with served(make_ledger(tmp_path_factory.mktemp("shared"))) as server:
        yield server.browser().sign_in_confirmed("rg")


def test_a_token_is_of_its_own_device(server: Server) -> None:
    one, other = server.browser().sign_in_confirmed("wa"), server.browser().sign_in_confirmed("we")
    answer = one.post("/api/sign-out", {}, x_weighbook_token=other.token)
    assert answer.code == "token"
    assert one.me()["people"]


def test_the_old_token_of_a_page_ends_with_its_cookie(server: Server) -> None:
    browser = server.browser()
    browser.me()
    cookie, token = browser.cookie, browser.token
    browser.sign_in("wa", WORDS)
    assert browser.cookie != cookie
    assert browser.post("/api/sign-out", {}, x_weighbook_token=token).code == "token"
    assert server.browser(cookie=cookie).me()["people"] == []


def test_the_cookie_on_this_computer(server: Server) -> None:
    (line,) = server.browser().get("/api/me").cookies
    name, *flags = line.split("; ")
    assert name.startswith("weighbook-8000=")
    assert sorted(flags) == ["HttpOnly", "Max-Age=43200", "Path=/", "SameSite=strict"]


def test_the_cookie_behind_a_proxy(behind: Server) -> None:
    browser = behind.browser(origin=SECURE)
    answer = browser.get("/api/me")
    (line,) = answer.cookies
    name, *flags = line.split("; ")
    assert name.startswith("__Host-weighbook=")
    assert sorted(flags) == ["HttpOnly", "Max-Age=43200", "Path=/", "SameSite=strict", "Secure"]
    assert answer.headers["strict-transport-security"] == "max-age=31536000"
    assert behind.browser().get("/api/me").code == "wrong_host"
    browser.sign_in("wa", WORDS)
    assert browser.get("/api/games/g1").status == 200


@pytest.mark.parametrize(
    "cookie",
    ["weighbook-8000=x", "weighbook-8000=", "=", ";;;", 'weighbook-8000="é"', "a=b; " * 500,
     "weighbook-8000=" + "a" * 43, "__Host-weighbook=" + "a" * 43, "weighbook-8000=../../x"],
)  # fmt: skip
def test_odd_cookies_are_nobody(server: Server, cookie: str) -> None:
    browser = server.browser(cookie=cookie)
    assert browser.me()["people"] == []
    assert browser.get("/api/day").code == "signed_out"


def test_an_expired_session(server: Server) -> None:
    browser = server.browser()
    browser.sign_in("wa", WORDS)
    server.clock.pass_by(hours=11.9)
    assert browser.get("/api/games/g1").status == 200
    server.clock.pass_by(hours=0.1)
    assert browser.get("/api/games/g1").code == "signed_out"
    body = {"act": "testdevice-1", "game": "g1", "by": "wa", "entries": [{"kind": "half"}]}
    assert browser.post("/api/acts", body).code == "signed_out"


def test_a_revoked_session(server: Server) -> None:
    browser, office = server.browser(), server.browser().sign_in_confirmed("rg")
    browser.sign_in("wa", WORDS)
    (session,) = [
        one for one in office.get("/api/sessions").json if one["people"][0]["official"] == "wa"
    ]
    assert not session["is_here"]
    assert office.post("/api/sessions/revoke", {"session": session["session"]}).status == 200
    assert browser.get("/api/games/g1").code == "signed_out"
    assert browser.me()["people"] == []
    assert office.get("/api/games/g1").status == 200


def test_a_revoked_key_ends_its_session_at_the_next_call(server: Server) -> None:
    browser = server.browser()
    browser.sign_in("wa", WORDS)
    store = open_store(server.desk.setting.ledger)
    revoke(store, "wa", by="rg", reason="lost", acting=SECRET)
    store.close()
    assert browser.get("/api/games/g1").code == "signed_out"


def test_one_sees_ones_own_sessions_only(server: Server) -> None:
    browser = server.browser().sign_in_confirmed("wa")
    server.browser().sign_in_confirmed("we")
    ((session),) = browser.get("/api/sessions").json
    assert [one["official"] for one in session["people"]] == ["wa"]
    assert session["is_here"]


def test_guessing_a_passphrase(server: Server) -> None:
    browser = server.browser()
    wrong = {"official": "wa", "passphrase": "other words"}
    for _ in range(5):
        assert browser.post("/api/sign-in", wrong).code == "wrong_passphrase"
    told = browser.post("/api/sign-in", wrong | {"passphrase": WORDS})
    assert (told.status, told.code, told.json["error"]["seconds"]) == (429, "wait", 300)
    # A proxy's header counts only where there is a proxy.
    spoofed = browser.post("/api/sign-in", wrong, x_forwarded_for="192.0.2.99")
    assert spoofed.status == 429
    server.clock.pass_by(minutes=5)
    assert browser.post("/api/sign-in", wrong | {"passphrase": WORDS}).status == 200


def test_behind_a_proxy_an_address_is_what_the_proxy_saw(behind: Server) -> None:
    browser = behind.browser(origin=SECURE)
    wrong = {"official": "wa", "passphrase": "other words"}
    for number in range(5):
        said = f"198.51.100.{number}, 192.0.2.1"
        assert browser.post("/api/sign-in", wrong, x_forwarded_for=said).status == 422
    assert browser.post("/api/sign-in", wrong, x_forwarded_for="x, 192.0.2.1").status == 429
    assert browser.post("/api/sign-in", wrong, x_forwarded_for="192.0.2.1, 192.0.2.2").status == 422


def test_guessing_a_passphrase_at_the_signature(server: Server) -> None:
    browser = server.browser()
    browser.sign_in("wa", WORDS)
    found = browser.get("/api/games/g1/teams/elm/list?official=wa").json
    said = {"official": "wa", "number": found["number"], "despite": found["settle"]["codes"]}
    for _ in range(5):
        answer = browser.post("/api/games/g1/teams/elm/sign", said | {"passphrase": "other words"})
        assert answer.code == "wrong_passphrase"
    answer = browser.post("/api/games/g1/teams/elm/sign", said | {"passphrase": WORDS})
    assert answer.code == "wait"


def test_a_stranger_who_guesses_keeps_nobody_from_signing(server: Server) -> None:
    browser = server.browser()
    browser.sign_in("wa", WORDS)
    found = browser.get("/api/games/g1/teams/elm/list?official=wa").json
    for number in range(31):
        stranger = server.browser(address=f"198.51.100.{number}")
        last = stranger.post("/api/sign-in", {"official": "wa", "passphrase": "other words"})
    assert last.code == "wait"
    said = {"official": "wa", "number": found["number"], "despite": found["settle"]["codes"]}
    answer = browser.post("/api/games/g1/teams/elm/sign", said | {"passphrase": WORDS})
    assert answer.status == 201


def test_a_fault_of_ours_tells_no_name(
    server: Server, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    browser = server.browser().sign_in_confirmed("wa")

    def breaks(*args: object, **kwargs: object) -> bytes:
        raise RuntimeError("Pip Quillfeather, invented words")

    monkeypatch.setattr("ledger.field.games.Games.answer", breaks)
    with caplog.at_level(logging.DEBUG):
        answer = browser.get("/api/games/g1")
    assert (answer.status, answer.code) == (500, "fault")
    assert b"Quillfeather" not in answer.content
    assert "RuntimeError at test_guard.py" in caplog.text
    assert "Quillfeather" not in caplog.text


def test_nothing_is_logged_of_a_sign_in(server: Server, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.DEBUG):
        server.browser().sign_in("wa", WORDS)
        said = {"official": "wa", "passphrase": "other words"}
        server.browser().post("/api/sign-in", said)
    for secret in (WORDS, "other words", "Thistlewood", "wa "):
        assert secret not in caplog.text


def test_news_end_with_the_session(server: Server) -> None:
    browser = server.browser().sign_in_confirmed("wa")
    assert browser.get("/api/news").content.startswith(b"retry: 2000")
    browser.post("/api/sign-out", {})
    assert browser.get("/api/news").code == "signed_out"
