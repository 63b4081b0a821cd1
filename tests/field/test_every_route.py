"""Every route and every kind of statement, by everybody: what the table says is what happens.

Allowed is 2xx. All else is 401 or 403 with a reason, and nothing is written: neither to the ledger
nor to the file of sessions.
"""

from __future__ import annotations

from base64 import b64decode, b64encode
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from ledger.actions.entries import record
from ledger.actions.phones import ask_for_key, confirm
from ledger.chain.phone import code_of
from ledger.field import rights
from ledger.field.admitting import admit
from ledger.field.device import Device
from ledger.field.rights import ANYONE, CALLS, CONFIRMED, READ_GAME, SIGNED_IN
from ledger.field.shell import build
from ledger.papers.press.letters import font_folder
from ledger.store.chains import origin_in
from ledger.store.opening import open_store
from ledger.witness.phone_keys import read_phone_key
from tests.field.desk import WORDS, make_ledger
from tests.field.served import Answer, Browser, Server, served
from tests.field.test_rights import G1, rows
from tests.phone import Phone
from tests.record.kinds import cells_of

NOBODY, TO_CONFIRM = "nobody", "to confirm"
OFFICIALS = next(line for line in G1.splitlines() if line).split()
READERS = set(OFFICIALS) - {"wo"}
OFFICES = {"rg", "ap", "dp"}
CONFIRMERS = {"rg", "ap", "dp", "so", "bo", "cc"}
"""Of a play counter."""
NUMBERS = count(1)
SCAN = b64encode(b"%PDF-1.7 a list signed on paper").decode()
A_FONT = next(font_folder().glob("*.ttf")).name.replace("[", "%5B").replace("]", "%5D")


@dataclass
class Table:
    """A server with a device for each person, and what is there to be asked about."""

    server: Server
    devices: Mapping[str, Browser]
    receipt: str
    number: str
    phone: Phone
    by_phone: str

    def state(self, who: str, *entries: dict[str, str], game: str = "g1") -> Answer:
        act = f"testdevice-{next(NUMBERS)}"
        said = [entry | {"ref": f"{act}.{n}"} for n, entry in enumerate(entries, 1)]
        body = {"act": act, "game": game, "by": who, "entries": said}
        return self.devices[who].post("/api/acts", body)

    def admits(self, who: str, call: str) -> None:
        """Raise the Refusal of the table; what a call does before its handler, without it."""
        self.server.portal.call(self._admit, who, call)

    async def _admit(self, who: str, call: str) -> None:
        cookie = str(self.devices[who].cookie).partition("=")[2]
        admit(self.server.desk.people.device(cookie), CALLS[call], "g1")

    def written(self) -> tuple[object, bytes]:
        """What lies on the disk."""
        path = self.server.desk.setting.ledger
        store = open_store(path)
        try:
            return dict(store.lengths()), path.with_name(f"{path.name}.sessions").read_bytes()
        finally:
            store.close()


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Table]:
    path = make_ledger(tmp_path_factory.mktemp("every"), keys=("wa",))
    store = open_store(path)
    record(store, [{"kind": "case_open", "by": "rg", "case": "c1", "reason": "other"}])
    phone = Phone("we", origin_in(store, "office"))
    confirm(store, ask_for_key(store, "we", phone.line, phone.proof), by="rg")
    store.close()
    with served(path) as server:
        devices = {who: server.browser().sign_in_confirmed(who) for who in OFFICIALS}
        devices |= {NOBODY: server.browser(), TO_CONFIRM: server.browser()}
        devices[TO_CONFIRM].sign_in("wa")
        place = "/api/games/g1/teams/elm"
        found = devices["wa"].get(f"{place}/list?official=wa").json
        said = {"official": "wa", "number": found["number"], "passphrase": WORDS}
        signed = devices["wa"].post(f"{place}/sign", said | {"despite": found["settle"]["codes"]})
        assert signed.status == 201, signed.content
        said = by_phone(devices["wa"], phone)
        again = devices["wa"].post(f"{place}/sign", said)
        assert again.status == 201, again.content
        receipt, event = signed.json["event"], again.json["event"]
        yield Table(server, devices, receipt, found["number"], phone, event)


Body = Callable[[Table, str], dict[str, Any]]


def sample_act(table: Table, who: str = "wa") -> dict[str, Any]:
    act, by = f"testdevice-{next(NUMBERS)}", who if who in OFFICIALS else "wa"
    entry = {"ref": f"{act}.1", "kind": "concern", "reason": "other"}
    return {"act": act, "game": "g1", "by": by, "entries": [entry]}


def code_to_confirm(table: Table, who: str) -> dict[str, Any]:
    """A play counter on a device of their own, each time anew."""
    table.server.clock.pass_by(minutes=1)
    (person,) = table.server.browser(address="192.0.2.200").sign_in("pc")["people"]
    return {"official": "pc", "code": person["code"]}


def session_to_end(table: Table, who: str) -> dict[str, Any]:
    """Of wo, on another device than that of the table."""
    browser = table.server.browser(address="192.0.2.201")
    browser.sign_in("wo")
    sessions = table.devices["rg"].get("/api/sessions").json
    waiting = [one for one in sessions if one["people"][0]["how"] == "to confirm"]
    return {"session": waiting[-1]["session"]}


def somebody_new(table: Table, who: str) -> dict[str, Any]:
    (game,) = table.server.browser().get("/api/new-here").json
    said = {"name": "Pip Invented", "to": "play_counter", "coaches_neither": True}
    return said | {"game": game["game"], "team": game["teams"][0]["team"]}


def phone_to_confirm(table: Table, who: str) -> dict[str, Any]:
    """A new key of a play counter that waits."""
    phone = Phone("pc", table.phone.origin)
    waiting = table.server.desk.phones.add(read_phone_key("pc", phone.line, phone.proof))
    by = who if who in OFFICIALS else "rg"
    return {"code": code_of(waiting.key), "by": by}


def new_phone(table: Table, who: str) -> dict[str, Any]:
    phone = Phone(who if who in OFFICIALS else "pc", table.phone.origin)
    return {"official": phone.official, "key": phone.line, "proof": phone.proof}


def cosignature(table: Table, who: str) -> dict[str, Any]:
    shown = (
        table.devices["wa"].get(f"/api/signatures/{table.by_phone}?since={table.phone.since}").json
    )
    return {"line": table.phone.witness(shown, b64decode(shown["event_bytes"]))}


BODIES: dict[str, Body] = {
    "POST /api/sign-in": lambda table, who: {"official": "pc"},
    "POST /api/new-here": somebody_new,
    "POST /api/confirm": code_to_confirm,
    "POST /api/sign-out": lambda table, who: {"official": "nobody"},
    "POST /api/sessions/revoke": session_to_end,
    "POST /api/acts": sample_act,
    "POST /api/devices": lambda table, who: {"device": "testdevice", "held": {"g1": 2}},
    "POST /api/games/{game}/teams/{team}/sign": lambda table, who: {
        "official": "wa", "number": table.number, "passphrase": WORDS,
        "despite": settled(table.devices["wa"]),
    },
    "POST /api/games/{game}/teams/{team}/ink": lambda table, who: {
        "official": "wa", "by": who, "number": table.number, "picture": SCAN, "name": "list.png",
        "despite": settled(table.devices["wa"]),
    },
    "POST /api/phones": new_phone,
    "POST /api/phones/confirm": phone_to_confirm,
    "POST /api/signatures/{event}/witness": cosignature,
}  # fmt: skip
THEIR_OWN = {"POST /api/confirm": CONFIRMERS, "POST /api/sessions/revoke": {*OFFICES, "wo"},
             "POST /api/acts": READERS, "GET /api/receipts/{event}": READERS,
             "POST /api/phones/confirm": OFFICES,
             "POST /api/phones": {*OFFICIALS} - OFFICES, "GET /api/signatures/{event}": READERS,
             "POST /api/signatures/{event}/witness": {"we"},
             "GET /print/receipt/{event}": READERS, "GET /print/blank-list/{team}": READERS,
             "GET /print/play-count/{team}": READERS}  # fmt: skip
"""Who may of those confirmed, where the handler looks at more than the address."""


SLOW = ("/open", "/list", "/sign", "/ink", "{team}", "{event}", "card/{game}")
"""Ends of calls that derive an answer: only one person waits for it, the others are admitted."""


def by_phone(browser: Browser, phone: Phone) -> dict[str, Any]:
    """What a phone sends to sign the list of the elms in g1."""
    phone.look(browser.get("/api/heads").json)
    found = browser.get("/api/games/g1/teams/elm/list").json
    signature = phone.signature(phone.origin, "g1", "elm", found["number"])
    seen = {c: {"size": s.size, "root": s.root.hex()} for c, s in phone.seen.items()}
    said = {"official": phone.official, "number": found["number"], "signature": signature}
    return said | {"seen": seen, "despite": found["settle"]["codes"]}


def settled(browser: Browser) -> list[str]:
    found: list[str] = browser.get("/api/games/g1/teams/elm/list").json["settle"]["codes"]
    return found


def may_call(who: str, call: str) -> bool:
    need = CALLS[call]
    if need == ANYONE:
        return True
    if need == SIGNED_IN:
        return who != NOBODY and (call not in THEIR_OWN or who in THEIR_OWN[call])
    if who in (NOBODY, TO_CONFIRM):
        return False
    if need == READ_GAME:
        return who in READERS
    assert need == CONFIRMED
    return who in THEIR_OWN.get(call, OFFICIALS)


def address_of(call: str, table: Table) -> str:
    path = call.partition(" ")[2]
    given = {"{game}": "g1", "{team}": "elm", "{event}": table.receipt,
             "{version}": build().version, "{document}": "ineligible_list"}  # fmt: skip
    if "/signatures/" in path:
        given["{event}"] = table.by_phone
    if path == "/api/phones/mine":
        path += "?official=wa"
    for key, value in given.items():
        path = path.replace(key, value)
    return path.replace("{name:path}", "main.js").replace("{name}", A_FONT)


@pytest.mark.parametrize("call", CALLS)
def test_every_route_as_everybody(table: Table, call: str) -> None:
    method, wrong = call.partition(" ")[0], []
    for who, browser in table.devices.items():
        target = address_of(call, table)
        if call.endswith(SLOW) and who in READERS - {"wa"}:
            table.admits(who, call)
            continue
        body = BODIES[call](table, who) if method == "POST" else None
        if call in ("POST /api/sign-in", "POST /api/new-here"):
            browser = table.server.browser(address=f"192.0.2.{next(NUMBERS) % 200}")
        before = table.written()
        browser.me()
        answer = browser.get(target) if method == "GET" else browser.post(target, body)
        allowed = may_call(who, call)
        if allowed != (200 <= answer.status < 300):
            wrong.append((who, answer.status, answer.content[:200]))
        elif not allowed:
            refused = 401 if who == NOBODY else 403
            if call == "POST /api/signatures/{event}/witness" and who in READERS:
                refused = 401  # the signer is not on that device
            if call == "POST /api/phones" and who in OFFICES:
                refused = 422
            assert answer.status == refused, (who, answer)
            assert table.written() == before, who
            assert b"Quillfeather" not in answer.content
    assert wrong == []


def test_the_table_lists_what_the_server_serves(table: Table) -> None:
    served_ones = {
        f"{method} {route.path}"
        for route in table.server.app.routes
        for method in route.methods - {"HEAD"}
    }
    assert served_ones == set(CALLS)


def test_a_route_that_is_not_in_the_table_keeps_the_server_from_starting(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    fewer = {call: need for call, need in CALLS.items() if call != "GET /api/day"}
    monkeypatch.setattr("ledger.field.admitting.CALLS", fewer)
    with pytest.raises(KeyError, match="GET /api/day"), served(make_ledger(tmp_path)):
        pass


@pytest.mark.parametrize("kind", dict.fromkeys(kind for kind, _, _ in rows(G1)))
def test_every_kind_as_everybody(table: Table, kind: str) -> None:
    wrong = []
    for _, who, allowed in (row for row in rows(G1) if row[0] == kind):
        cells = {
            key: text for key, text in cells_of(kind, full=False).items()
            if key not in ("by", "game")
        }  # fmt: skip
        cells |= {
            "case_open": {"case": f"of-{who}"},
            "appoint": {"value": f"new-{who}", "to": "weighmaster", "team": "ash"},
            "enter_player": {"player": f"new-{who}"},
        }.get(kind, {})
        before = table.written()
        answer = table.state(who, cells)
        if kind == "game_off" and answer.status == 201:
            back = {"kind": "withdraw", "target": answer.json["events"][0], "reason": "it is on"}
            assert table.state(who, back).status == 201
        if (answer.status == 201) != allowed:
            wrong.append((who, answer.status, answer.content))
        elif not allowed:
            assert (answer.status, answer.code) == (403, "not_yours")
            assert table.written() == before
    assert wrong == []


@pytest.mark.parametrize(
    "kind", ["countersign", "season_close", "chain_key", "official_key", "key_revoked", "erasure",
             "redaction", "league", "official", "player", "game", "nonsense", ""],
)  # fmt: skip
def test_what_nobody_states_on_the_page(table: Table, kind: str) -> None:
    before = table.written()
    for who in OFFICIALS:
        answer = table.state(who, {"kind": kind, "team": "elm"})
        assert (answer.status, answer.code) == (403, "not_yours")
    assert table.written() == before


def test_only_the_author_takes_back_by_ref_or_by_event(table: Table) -> None:
    stated = table.state("we", {"kind": "at_scale", "team": "elm"}).json
    for target in (stated["events"][0], f"{stated['act']}.1"):
        entry = {"kind": "withdraw", "target": target, "reason": "wrong game"}
        for who in set(OFFICIALS) - {"we"}:
            assert table.state(who, entry).code == "not_yours"
        mixed = table.state("wa", {"kind": "at_scale", "team": "ash"}, entry)
        assert mixed.code == "not_yours"
    assert table.state("we", entry).status == 201


def test_nobody_acts_under_anothers_name(table: Table) -> None:
    body = sample_act(table)
    before = table.written()
    assert table.devices["we"].post("/api/acts", body).code == "signed_out"
    assert table.devices[TO_CONFIRM].post("/api/acts", body).code == "to_confirm"
    assert table.devices[NOBODY].post("/api/acts", body).code == "signed_out"
    entry = {**body["entries"][0], "by": "we"}
    said = table.devices["wa"].post("/api/acts", body | {"entries": [entry]})
    assert (said.status, said.code) == (400, "not_understood")
    assert table.written() == before


def test_two_people_on_a_device_and_one_to_confirm(table: Table) -> None:
    browser = table.server.browser(address="192.0.2.202").sign_in_confirmed("we")
    browser.sign_in("wa")
    body = sample_act(table)
    assert browser.post("/api/acts", body).code == "to_confirm"
    assert browser.post("/api/acts", body | {"by": "we"}).status == 201


def test_reading_a_game_by_its_own_rights_only(table: Table) -> None:
    """wo weighs in h1: their device reads that game, not the other."""
    assert table.devices["wo"].get("/api/games/h1").status == 200
    assert table.devices["wo"].get("/api/games/g1").code == "not_yours"
    assert table.devices["wo"].get("/api/games/nothing").code == "unknown_game"
    assert table.devices["we"].get("/api/games/h1").code == "not_yours"


def test_one_to_confirm_lends_no_right_to_who_is_confirmed_beside_them(table: Table) -> None:
    browser = table.server.browser(address="192.0.2.204").sign_in_confirmed("wo")
    browser.sign_in("wa")
    assert browser.get("/api/games/g1").code == "not_yours"
    assert browser.get("/api/games/h1").status == 200


def test_no_childs_name_reaches_a_device_without_a_confirmed_person(table: Table) -> None:
    names = [b"Quillfeather", b"Bramblewick", b"Marrowby", b"Fennimoor", b"Saltmarsh"]
    seen = table.devices["wa"].get("/api/games/g1").content
    assert any(name in seen for name in names)
    for who in (NOBODY, TO_CONFIRM):
        for call in CALLS:
            if call.startswith("GET ") and "static" not in call and "fonts" not in call:
                content = table.devices[who].get(address_of(call, table)).content
                assert not any(name in content for name in names), (who, call)


def test_the_coachs_ban_holds_where_the_device_has_a_weighmaster_too(table: Table) -> None:
    browser = table.server.browser(address="192.0.2.203").sign_in_confirmed("we")
    browser.sign_in_confirmed("cc")
    act = f"testdevice-{next(NUMBERS)}"
    entry = {"ref": f"{act}.1", "kind": "at_scale", "team": "elm"}
    body = {"act": act, "game": "g1", "by": "cc", "entries": [entry]}
    assert browser.post("/api/acts", body).code == "not_yours"
    assert browser.post("/api/acts", body | {"by": "we"}).status == 201


def test_who_signs(table: Table) -> None:
    """Signing goes by the signer's role and passphrase, not by whose device it is."""
    target = "/api/games/g1/teams/elm/sign"
    body = BODIES["POST /api/games/{game}/teams/{team}/sign"](table, "wa")
    for who in ("rg", "wg", "so", "ca"):
        answer = table.devices["rg"].post(target, body | {"official": who})
        assert (answer.status, answer.code) == (403, "not_yours")
    wrong = table.devices["wa"].post(target, body | {"passphrase": "other words"})
    assert (wrong.status, wrong.code) == (422, "wrong_passphrase")


def test_rights_of_a_device_are_those_of_its_confirmed_people() -> None:
    assert Device("x", False, (), _nobody()).may(READ_GAME, "g1") is False


def _nobody() -> Any:
    from ledger.actions.officials import Officials

    return Officials({}, {}, {}, {}, {"g1": ("ash", "elm")}, frozenset())


def test_the_needs_are_rights_of_the_table() -> None:
    granted = {what for right in rights.RIGHTS for what in right.what}
    assert set(CALLS.values()) - {ANYONE, SIGNED_IN, CONFIRMED} <= granted
