"""Somebody new at the table: who lets them in, what is recorded, and what they may do then.

In g2 ash (wa) plays elm (we). Somebody new for ash is let in by whoever appoints, else by we.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from ledger.actions.officials import read_officials
from ledger.chain.event import Event
from ledger.field.newcomers import confirmers
from ledger.field.rights import READ_GAME, SIGN, may
from ledger.store.opening import open_store
from tests.field.desk import make_ledger
from tests.field.served import Answer, Browser, Server, served
from tests.tiny import events_in

NUMBERS = count(1)
ASK = {"game": "g2", "team": "ash", "to": "weighmaster", "coaches_neither": True}
PIP = ASK | {"name": "Pip Invented"}


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with served(make_ledger(tmp_path_factory.mktemp("new"), keys=())) as found:
        yield found


def ask(server: Server, said: dict[str, Any] = PIP) -> tuple[Browser, dict[str, Any]]:
    """A phone with somebody new on it, and what it was told of them."""
    server.clock.pass_by(minutes=2)
    phone = server.browser(address=f"192.0.2.{next(NUMBERS) % 200}")
    answer = phone.post("/api/new-here", said)
    assert answer.status == 200, answer.content
    phone.me()
    (person,) = answer.json["people"]
    return phone, person


def device(server: Server, who: str) -> Browser:
    return server.browser(address=f"198.51.100.{next(NUMBERS) % 200}").sign_in_confirmed(who)


def confirm(server: Server, who: str, person: dict[str, Any]) -> Answer:
    said = {"official": person["official"], "code": person["code"]}
    return device(server, who).post("/api/confirm", said)


def appoints(server: Server, official: str) -> list[Event]:
    found = events_in(server.desk.setting.ledger)
    return [one for one in found if one.kind == "appoint" and one.data["value"] == official]


def state(browser: Browser, by: str, game: str = "g2", **cells: str) -> Answer:
    act = f"testdevice-{next(NUMBERS)}"
    entries = [cells | {"ref": f"{act}.1"}]
    return browser.post("/api/acts", {"act": act, "game": game, "by": by, "entries": entries})


def at_table(server: Server, official: str) -> list[bool]:
    """Of each role in the head of g2: whether it is to be confirmed."""
    people = device(server, "rg").get("/api/games/g2").json["head"]["people"]
    return [one["to_confirm"] for one in people if one["official"] == official]


@pytest.mark.parametrize("who", ["so", "bo", "rg", "ap", "dp"])
def test_who_may_appoint_lets_somebody_in(server: Server, who: str) -> None:
    phone, person = ask(server)
    assert phone.get("/api/games/g2").code == "to_confirm"
    assert confirm(server, who, person).status == 200
    new = person["official"]
    (appoint,) = appoints(server, new)
    said = {key: appoint.data[key] for key in ("to", "value")}
    assert (said, appoint.by, appoint.game, appoint.team) == (
        {"to": "weighmaster", "value": new}, who, "g2", "ash",
    )  # fmt: skip
    assert "pip" not in new.lower()
    assert state(phone, new, kind="at_scale", team="ash").status == 201
    assert at_table(server, new) == [False]


def test_the_other_teams_weighmaster_lets_somebody_in_until_confirmed(server: Server) -> None:
    phone, person = ask(server)
    new = person["official"]
    assert confirm(server, "we", person).status == 200
    assert at_table(server, new) == [True]
    assert state(phone, new, kind="weigh", team="elm", player="e1", value="ok").status == 201
    store = open_store(server.desk.setting.ledger)
    officials = read_officials(store)
    store.close()
    able = [may(officials, new, what, "g2") for what in ("station", "plays", READ_GAME, SIGN)]
    assert able == [True, True, True, False]
    assert not may(officials, new, "weigh", "g1")
    _, next_one = ask(server, PIP | {"name": "Moss Invented", "team": "elm"})
    said = {"official": next_one["official"], "code": next_one["code"]}
    assert phone.post("/api/confirm", said).code == "not_yours"

    (shown,) = [o for o in office_sees(server)["let_in"] if o["official"] == new]
    assert (shown["name"], shown["by_name"]) == ("Pip Invented", "Ivo Larkspur")
    entry = {"kind": "appoint", "team": "ash", "value": new, "to": "weighmaster"}
    assert state(device(server, "so"), "so", **entry).status == 201
    assert at_table(server, new) == [False]
    assert state(phone, new, kind="at_scale", team="ash").status == 201


def office_sees(server: Server) -> Any:
    return device(server, "rg").get("/api/to-confirm").json


@pytest.mark.parametrize("who", ["wa", "wo", "wg", "pc", "ho", "ca"])
def test_nobody_else_does(server: Server, who: str) -> None:
    """Not the own team's weighmaster, nor one of another game, a counter, a coach."""
    _, person = ask(server)
    assert confirm(server, who, person).code == "not_yours"
    waiting = device(server, who).get("/api/to-confirm").json["waiting"]
    assert person["official"] not in {one["official"] for one in waiting}
    assert appoints(server, person["official"]) == []


def test_a_code_of_the_terminal_lets_nobody_in(server: Server) -> None:
    """No person has said yes, and `appoint` needs one."""
    phone, person = ask(server)
    said = {"official": person["official"], "terminal": server.told[-1]}
    assert phone.post("/api/confirm", said).code == "not_yours"


def test_the_same_device_confirms_by_the_one_beside(server: Server) -> None:
    laptop = device(server, "we").sign_in_confirmed("so")
    people = laptop.post("/api/new-here", PIP).json["people"]
    person = people[-1]
    said = {"official": person["official"], "code": person["code"], "by": "we"}
    assert laptop.post("/api/confirm", said).status == 200
    assert [one.by for one in appoints(server, person["official"])] == ["we"]


def test_who_asks_on_a_shared_device_pushes_nobody_out(server: Server) -> None:
    laptop = device(server, "we")
    for _ in range(13):
        assert laptop.post("/api/new-here", PIP).status == 200
    assert [one["is_confirmed"] for one in laptop.me()["people"]] == [True] + [False] * 11


def test_confirmed_twice_is_appointed_once(server: Server) -> None:
    _, person = ask(server)
    assert confirm(server, "so", person).status == 200
    assert confirm(server, "rg", person).status in (403, 422)
    assert len(appoints(server, person["official"])) == 1


def test_who_confirmed_by_mistake_takes_it_back(server: Server) -> None:
    phone, person = ask(server)
    confirm(server, "we", person)
    (appoint,) = appoints(server, person["official"])
    back = {"kind": "withdraw", "target": appoint.id, "reason": "wrong team"}
    assert state(device(server, "we"), "we", **back).status == 201
    assert phone.me()["people"] == []


def test_somebody_known_keeps_their_id(server: Server) -> None:
    """Nell weighs for the Oaks; the site official lets her help here, a weighmaster may not."""
    known = ASK | {"official": "wo"}
    _, person = ask(server, known)
    assert confirm(server, "we", person).code == "not_yours"
    assert confirm(server, "so", person).status == 200
    (appoint,) = appoints(server, "wo")
    assert "digests" not in appoint.data


@pytest.mark.parametrize(
    ("said", "code"),
    [
        (ASK, "not_understood"), (PIP | {"official": "wo"}, "not_understood"),
        (PIP | {"coaches_neither": False}, "not_understood"),
        (PIP | {"name": " x "}, "not_understood"),
        (PIP | {"name": "Pip\u202egnigriw"}, "not_understood"),
        (PIP | {"name": "\u200b\u200b"}, "not_understood"),
        (PIP | {"to": "registrar"}, "not_understood"), (PIP | {"team": "oak"}, "refused"),
        (PIP | {"game": "g1"}, "refused"), (ASK | {"official": "ca"}, "coach"),
        (ASK | {"official": "nobody"}, "refused"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked(server: Server, said: dict[str, Any], code: str) -> None:
    assert server.browser().post("/api/new-here", said).code == code


def test_nobody_is_let_in_for_a_team_that_no_longer_plays_the_game(server: Server) -> None:
    """Somebody waits for ash in g2; then the game's row is corrected: oak plays elm."""
    _, person = ask(server)
    (waits,) = [o for o in server.desk.people.waiting() if o.official == person["official"]]
    store = open_store(server.desk.setting.ledger)
    now = read_officials(store)
    store.close()
    assert [one.official for one in confirmers(now, ["rg"], waits)] == ["rg"]
    corrected = replace(now, sides={**now.sides, "g2": ("oak", "elm")})
    assert confirmers(corrected, ["rg"], waits) == []


def test_a_crowd_hides_nobody_who_waits(server: Server) -> None:
    """One address asks again and again, under names that are known and as somebody new."""
    _, person = ask(server)
    crowd = {"address": "203.0.113.5"}
    for _ in range(50):
        server.browser(**crowd).post("/api/sign-in", {"official": "wo"})
    answers = [server.browser(**crowd).post("/api/new-here", PIP) for _ in range(21)]
    assert [one.status for one in answers] == [200] * 20 + [429]
    waiting = [one["official"] for one in office_sees(server)["waiting"]]
    assert person["official"] in waiting
    assert waiting.count("wo") == 1


def test_a_killed_server_has_forgotten_nobody_who_waits(tmp_path: Path) -> None:
    path = make_ledger(tmp_path, keys=())
    with served(path) as first:
        phone, person = ask(first)
    with served(path) as again:
        assert again.browser(cookie=phone.cookie).me()["people"][0]["new"] == person["new"]
