"""What no page of ours sends: odd JSON, odd addresses, and texts that mean something elsewhere."""

from __future__ import annotations

import json
from collections.abc import Iterator
from html import escape
from itertools import count
from pathlib import Path
from typing import Any

import orjson
import pytest

from ledger.field.answers import MOST_BYTES
from ledger.field.rights import CALLS
from ledger.field.schema import BODIES, schema_of_api
from ledger.record.fields import MOST_INITIALS
from ledger.record.kinds import OF_THING
from ledger.record.statements import KINDS
from ledger.store.opening import open_store
from tests.field.desk import make_ledger
from tests.field.served import Answer, Browser, served
from tests.phone import Phone
from tests.record.kinds import cells_of
from tests.tiny import disclosed

POSTS = [call.partition(" ")[2] for call in CALLS if call.startswith("POST ")]
NUMBERS = count(1)
DEEP = 20_000
RAW = {
    "nothing": b"", "half an object": b'{"official": ', "a text": b'"wa"', "a number": b"1",
    "a list": b"[]", "null": b"null", "true": b"true", "not a number": b"NaN",
    "a number of 400 digits": b'{"official": 1' + b"0" * 400 + b"}",
    "infinity": b'{"official": 1e999}', "deep lists": b"[" * DEEP + b"]" * DEEP,
    "deep objects": b'{"a":' * DEEP + b"1" + b"}" * DEEP, "NUL": b"\x00",
    "NUL in it": b'{"\x00":1}',
    "an escaped NUL": b'{"official": "\\u0000"}', "half a surrogate": b'{"official": "\\ud800"}',
    "a surrogate as UTF-8": b'{"official": "\xed\xa0\x80"}', "not UTF-8": b'{"official": "\xff"}',
    "a mark at the start": b'\xef\xbb\xbf{}', "UTF-16": '{"official": "wa"}'.encode("utf-16"),
    "too much": b'{"official": "' + b"a" * MOST_BYTES + b'"}', "a key twice": b'{"a":1,"a":2}',
    "a form": b"official=wa&passphrase=x", "XML": b"<a/>", "two objects": b"{}{}",
    "a comment": b"{/* */}", "a prototype": b'{"__proto__": {"official": "wa"}}',
}  # fmt: skip
VALUES: list[Any] = [
    None, True, 0, -1, 1.5, 10**18, "", " ", "\0", "x\0y", "a" * 5000, [], [[]], {}, {"a": {}},
    ["wa"], "‮", "wa\n", "../..", "wa; drop table event", {"$ne": 1}, "١٢٣", "unlisted-x",
]  # fmt: skip
MEAN = [
    "<script>alert(1)</script>", "\"><img src=x onerror='alert(1)'>", "'; drop table event; --",
    "{{7*7}} {% debug %} ${7*7}", "=cmd|' /C calc'!A0", "‮gnp.exe", "../../../etc/passwd",
    "%00%0d%0aSet-Cookie: a=b", "line\r\nSet-Cookie: a=b", "\t\x01\x1b[31m", "﻿ \u2028\u2029",
    "\U0001f3c8" * 100, "javascript:alert(1)", "</style></textarea>--><!--", "\\u003cscript\\u003e",
    "x" * 4000,
]  # fmt: skip


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """A device with a weighmaster, a registrar and a president."""
    with served(make_ledger(tmp_path_factory.mktemp("odd"))) as server:
        found = server.browser()
        for official in ("rg", "dp", "we"):
            found.sign_in_confirmed(official)
        case = {"kind": "case_open", "case": "c1", "reason": "other"}
        assert state(found, "dp", case).status == 201
        yield found


def address(path: str) -> str:
    return path.replace("{game}", "g1").replace("{team}", "elm").replace("{event}", "office:1")


def is_told(answer: Answer) -> bool:
    """Whether this is an error of ours as JSON, with words."""
    is_json = answer.headers["content-type"] == "application/json"
    return is_json and 400 <= answer.status < 500 and bool(answer.json["error"]["message"])


@pytest.mark.parametrize("path", POSTS)
@pytest.mark.parametrize("what", RAW)
def test_bytes_that_are_no_body(browser: Browser, path: str, what: str) -> None:
    answer = browser.post(address(path), RAW[what])
    assert is_told(answer), answer
    assert len(answer.content) < 1000


def bodies() -> dict[str, dict[str, Any]]:
    """A body that is right, or nearly, for each route."""
    entry = {"ref": "testdevice-1.1", "kind": "concern", "reason": "other"}
    phone = Phone("we", "invented-league/2026/office")
    return {
        "/api/sign-in": {
            "official": "pc", "passphrase": "invented words", "signature": phone.proof,
        },
        "/api/new-here": {
            "name": "Pip Invented", "game": "g1", "team": "elm", "to": "play_counter",
            "coaches_neither": True,
        },
        "/api/confirm": {"official": "pc", "code": "123456", "terminal": "123456", "by": "rg"},
        "/api/sign-out": {"official": "nobody"},
        "/api/sessions/revoke": {"session": "AAAAAAAAAAAA", "official": "pc"},
        "/api/acts": {"act": "testdevice-1", "game": "g1", "by": "we", "entries": [entry],
                      "clock": "2026-09-05T13:41:22.000Z", "fine": True, "held": {"g1": 1}},
        "/api/devices": {"device": "testdevice", "held": {"g1": 1}},
        "/api/games/{game}/teams/{team}/sign": {
            "official": "we", "number": "0" * 64, "passphrase": "invented words", "despite": ["x"],
            "signature": phone.proof, "seen": {"office": {"size": 1, "root": "0" * 64}},
        },
        "/api/games/{game}/teams/{team}/ink": {
            "official": "we", "number": "0" * 64, "despite": ["x"], "picture": "iVBORw0KGgo=",
            "name": "list.png",
        },
        "/api/phones": {"official": "we", "key": phone.line, "proof": phone.proof},
        "/api/phones/confirm": {
            "code": "2222-2222", "official": "we", "by": "rg", "passphrase": "invented words",
        },
        "/api/signatures/{event}/witness": {"line": "— we AAAA"},
    }  # fmt: skip


def test_each_value_of_each_body_as_something_else(browser: Browser) -> None:
    assert set(bodies()) == set(POSTS)
    for path, body in bodies().items():
        for key in body:
            for value in VALUES:
                device = browser if path != "/api/sign-out" else browser.server.browser()
                answer = device.post(address(path), body | {key: value})
                assert answer.status < 500, (path, key, value, answer)
                assert answer.headers["content-type"] == "application/json"
        for extra in ("__proto__", "constructor", "extra", "", "by\0"):
            answer = browser.post(address(path), body | {extra: "wa"})
            assert answer.code == "not_understood", (path, extra)


def test_each_column_as_something_else_in_two_kinds_that_have_it(browser: Browser) -> None:
    of_column: dict[str, list[str]] = {}
    for kind in KINDS:
        for column in cells_for(kind):
            of_column.setdefault(column, []).append(kind)
    for column, kinds in of_column.items():
        for kind in kinds[:2]:
            for value in VALUES:
                answer = state(browser, by_for(kind), cells_for(kind) | {column: value})
                assert answer.status < 500, (kind, column, value, answer)


def cells_for(kind: str) -> dict[str, Any]:
    """An entry with every column of its kind, but for what its act says."""
    of_act = ("by", "game", "entered", "ref")
    return {key: text for key, text in cells_of(kind, full=True).items() if key not in of_act}


def test_entries_that_are_none(browser: Browser) -> None:
    for entries in ([], {}, "x", [1], [None], [[]], [{}] * 31, [{"kind": {}}], [{"at": 1}]):
        act = f"testdevice-{next(NUMBERS)}"
        body = {"act": act, "game": "g1", "by": "we", "entries": entries}
        assert is_told(browser.post("/api/acts", body)), entries


def by_for(kind: str) -> str:
    """Who of the device may state it."""
    if kind.startswith("case") or kind in ("ruling", "half", "excuse", "snaps", "game_off"):
        return "dp"
    return "rg" if "roster" in kind or kind in REGISTRARS else "we"


REGISTRARS = ("number_change", "enter_player", "assign", "trained", "game_change", "appoint")


def state(browser: Browser, by: str, entry: dict[str, Any]) -> Answer:
    act = f"testdevice-{next(NUMBERS)}"
    body = {"act": act, "game": "g1", "by": by, "entries": [{"ref": f"{act}.1"} | entry]}
    return browser.post("/api/acts", body | {"fine": True})


FREE = {"note", "name", "reason", "site", "initials"}
"""Columns of free text, where a kind has them as such."""


def is_free(kind: str, column: str) -> bool:
    return column in FREE and (column != "reason" or kind in (*OF_THING, "withdraw"))


@pytest.mark.parametrize("kind", [k for k in KINDS if k not in ("countersign", "season_close")])
def test_texts_stay_texts_in_every_field_of_every_kind(browser: Browser, kind: str) -> None:
    cells = cells_for(kind)
    store = open_store(browser.server.desk.setting.ledger)
    if kind == "withdraw":
        stated = state(browser, "we", {"kind": "at_scale", "team": "elm"})
        cells["target"] = stated.json["events"][0]
    try:
        for column in (*cells, "ref"):
            for text in MEAN:
                given = text[:MOST_INITIALS] if column == "initials" else text
                own = {"player": f"n{next(NUMBERS)}"} if kind == "enter_player" else {}
                own |= {"case": f"c{next(NUMBERS)}"} if kind == "case_open" else {}
                lengths = dict(store.lengths())
                answer = state(browser, by_for(kind), cells | own | {column: given})
                if not is_free(kind, column):
                    assert is_told(answer), (column, text, answer)
                    assert dict(store.lengths()) == lengths
                    continue
                assert answer.status == 201, (column, text, answer.content)
                event = store.event(answer.json["events"][0])
                kept = disclosed(store, event) | event.data
                assert kept[column] == given
    finally:
        store.close()


@pytest.mark.parametrize("text", MEAN)
def test_a_name_is_only_ever_a_text(browser: Browser, text: str) -> None:
    """In the game's JSON as it was typed; on a paper for the browser, escaped."""
    number = str(90 - MEAN.index(text))
    cells = {"kind": "list", "team": "ash", "number": number, "name": text, "reason": "other"}
    answer = state(browser, "we", cells)
    assert answer.status == 201, answer.content
    seen = browser.get("/api/games/g1")
    entry = next(one for one in seen.json["entries"] if one["event"] == answer.json["events"][0])
    assert entry["name"] == text
    assert entry["number"] == int(number)


def test_a_paper_shows_such_names_as_text(tmp_path: Path) -> None:
    with served(make_ledger(tmp_path)) as server:
        _paper_shows_names_as_text(server.browser().sign_in_confirmed("we"))


def _paper_shows_names_as_text(browser: Browser) -> None:
    cells = {"kind": "list", "team": "elm", "number": "77", "name": MEAN[0], "reason": "other"}
    assert state(browser, "we", cells).status == 201
    page = browser.get("/print/list/g1/elm").content.decode()
    assert "<script>alert" not in page
    assert escape(MEAN[0]) in page


@pytest.mark.parametrize(
    "query",
    ["after=-1", "after=" + "9" * 5000, "after=1e3", "after=x", "after=%00", "after=1&after=x",
     "edition=" + "x" * 100, "edition=%ff", "edition=%00", "extra=1", "after", "&&&==", "after=٣",
     "edition=%ed%a0%80"],
)  # fmt: skip
def test_odd_questions(browser: Browser, query: str) -> None:
    answer = browser.get(f"/api/games/g1?{query}")
    assert answer.status < 500
    assert answer.headers["content-type"] == "application/json"


@pytest.mark.parametrize(
    "date", ["2026-02-30", "0000-00-00", "0001-01-01", "9999-12-31", "2026-09-05T00:00", "1", "",
             "%00", "2026-W01-1", "٢٠٢٦-٠٩-٠٥", "-2026-01-01", "2026-9-5"],
)  # fmt: skip
def test_odd_dates(browser: Browser, date: str) -> None:
    answer = browser.get(f"/api/day?date={date}")
    assert answer.status in (200, 400)
    if answer.status == 200:
        assert answer.json["games"] == []


@pytest.mark.parametrize(
    "part", ["%00", "%ff", "..", "%2e%2e%2f", "g1%2fdevices", "g1%00", "a" * 5000, "g1;x", "G1",
             "<script>", "%3Cscript%3E", "g1'--", "%0d%0aSet-Cookie:a=b", "unlisted-x", "*"],
)  # fmt: skip
def test_odd_addresses(browser: Browser, part: str) -> None:
    for path in ("/api/games/{}", "/api/games/{}/devices", "/api/games/{}/teams/elm/open",
                 "/api/games/g1/teams/{}/list", "/api/receipts/{}", "/print/list/g1/{}",
                 "/print/card/{}", "/print/receipt/{}", "/static/x/{}", "/fonts/{}",
                 "/print/style/{}.css", "/{}"):  # fmt: skip
        answer = browser.get(path.format(part))
        is_another = (path, part) == ("/api/games/{}", "g1%2fdevices")
        assert answer.status == 200 if is_another else 400 <= answer.status < 500, (path, answer)
        assert "set-cookie" not in answer.headers
        assert (
            b"<script>" not in answer.content or b"json" in answer.headers["content-type"].encode()
        )


def test_no_file_of_the_server_is_served(browser: Browser) -> None:
    from ledger.field.shell import build

    for name in ("../app.py", "..%2fapp.py", "%2e%2e/app.py", "/etc/passwd", "....//app.py",
                 "main.js%00", "sw.js"):  # fmt: skip
        assert browser.get(f"/static/{build().version}/{name}").status == 404
        assert browser.get(f"/fonts/{name}").status == 404


def test_the_schema_is_of_the_models_that_read(browser: Browser) -> None:
    found = browser.get("/api/schema.json").json
    assert found == json.loads(orjson.dumps(schema_of_api()))
    assert set(found["paths"]) == {call.partition(" ")[2] for call in CALLS if "/api/" in call}
    assert set(BODIES) == {call for call in CALLS if call.startswith("POST ")}
    kinds = {one["title"]: one for one in found["components"]["schemas"]["Entry"]["anyOf"]}
    assert kinds.keys() == KINDS.keys() - {"countersign", "season_close"}
    for kind, schema in kinds.items():
        fields = KINDS[kind].model_fields.keys() - {"by", "entered", "game"}
        assert schema["properties"].keys() == fields | {"kind"}
