"""POST /api/acts: once, whole, each by itself, and what a device hears."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.actions.entries import record
from ledger.store.opening import open_store
from tests.field.running import Browser, Served, served
from tests.tiny import disclosed, load, write_folder

WEIGH = {"kind": "weigh", "team": "elm", "number": "1", "value": "ok"}
MARK = {"kind": "initial", "team": "elm", "number": "1", "value": "ok", "initials": "AT"}
LIST = {"kind": "list", "team": "elm", "player": "e2", "reason": "absent"}


@pytest.fixture(scope="module")
def ledger(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("acts")
    load(folder / "acts.weighbook", write_folder(folder / "season"))
    return folder / "acts.weighbook"


@pytest.fixture(scope="module")
def server(ledger: Path) -> Iterator[Served]:
    with served(ledger) as made:
        yield made


@pytest.fixture(scope="module")
def wa(server: Served) -> Browser:
    return server.browser("wa")


def said(browser: Browser, act: object) -> tuple[int, str]:
    answer = browser.post("/api/acts", act)
    return answer.status_code, answer.json().get("error", {}).get("code", "")


def test_an_act_is_recorded_whole_in_its_order(wa: Browser) -> None:
    ids = wa.state("wa", WEIGH, MARK)
    entries = {one["event"]: one for one in wa.entries()}
    assert [entries[event]["kind"] for event in ids] == ["weigh", "initial"]
    weigh = entries[ids[0]]
    assert (weigh["player"], weigh["number"], weigh["value"]) == ("e1", 1, "ok")
    assert weigh["at"] == weigh["entered"] == "2026-09-05T13:41:20.000Z"
    assert weigh["ref"].endswith("-1.1")


def test_what_is_typed_in_from_paper_has_two_times(wa: Browser) -> None:
    """`at` is the sheet's; `entered` when it was typed, so that a late entry shows as one."""
    act = wa.act("wa", LIST) | {"entered": "2026-09-05T18:02:00.000Z"}
    (event,) = wa.post("/api/acts", act).json()["events"]
    (entry,) = [one for one in wa.entries() if one["event"] == event]
    assert (entry["at"], entry["entered"]) == ("2026-09-05T13:41:20.000Z", act["entered"])
    assert said(wa, act | {"entered": "at noon"}) == (400, "not_understood")


def test_the_same_act_again_is_answered_with_its_events(wa: Browser) -> None:
    act = wa.act("wa", WEIGH, LIST | {"note": "said a friend"})
    first, again = wa.post("/api/acts", act), wa.post("/api/acts", act)
    assert (first.status_code, again.status_code) == (201, 200)
    assert first.json() == again.json()
    held = [one for one in wa.entries() if one["ref"].startswith(act["act"] + ".")]
    assert len(held) == 2


@pytest.mark.parametrize(
    "change",
    [{"value": "over"}, {"at": "2026-09-05T13:41:21.000Z"}, {"number": "2"}, {"player": "e2"},
     {"note": "another"}, {"kind": "late_weigh"}, {"name": "Bo Yarrow"}],
    ids=lambda change: next(iter(change)),
)  # fmt: skip
def test_another_content_under_the_same_ref_differs(wa: Browser, change: dict[str, str]) -> None:
    act = wa.act("wa", WEIGH | {"note": "one"})
    assert said(wa, act) == (201, "")
    entry = act["entries"][0] | change
    if "player" in change or "name" in change:
        entry = {key: value for key, value in entry.items() if key != "number" or "name" in change}
    assert said(wa, act | {"entries": [entry]}) == (409, "differs")
    assert said(wa, act | {"entries": [*act["entries"], entry | {"ref": act["act"] + ".2"}]}) == (
        409, "differs",
    )  # fmt: skip
    assert said(wa, act) == (200, "")


def test_an_erased_text_is_equal_by_the_rest(ledger: Path, wa: Browser) -> None:
    act = wa.act("wa", LIST | {"note": "said a friend"})
    (event,) = wa.post("/api/acts", act).json()["events"]
    store = open_store(ledger)
    with store.writing() as writing:
        assert writing.drop_disclosures([event]) == 1
    store.close()
    assert said(wa, act) == (200, "")
    other = act | {"entries": [act["entries"][0] | {"player": "e1"}]}
    assert said(wa, other) == (409, "differs")


def test_a_text_more_or_less_differs(ledger: Path, wa: Browser) -> None:
    noted = wa.act("wa", WEIGH | {"note": "one"})
    guest = wa.act("wa", WEIGH | {"number": "31", "name": "Bo Yarrow"})
    (event,) = [wa.post("/api/acts", act).json()["events"] for act in (noted, guest)][1]
    without = noted["entries"][0] | {"note": ""}
    assert said(wa, noted | {"entries": [without]}) == (409, "differs")
    store = open_store(ledger)
    with store.writing() as writing:
        writing.drop_disclosures([event])
    store.close()
    assert said(wa, guest) == (200, "")
    nameless = guest["entries"][0] | {"name": ""}
    assert said(wa, guest | {"entries": [nameless]}) == (409, "differs")


def test_another_official_under_the_same_ref_differs(server: Served) -> None:
    both = server.browser("wa", "we")
    act = both.act("wa", {"kind": "concern", "reason": "helmet"})
    assert said(both, act) == (201, "")
    assert said(both, act | {"by": "we"}) == (409, "differs")


def test_an_act_is_taken_back_by_refs_and_brought_back(wa: Browser) -> None:
    act = wa.act("wa", WEIGH, MARK)
    wa.post("/api/acts", act)
    refs = [entry["ref"] for entry in act["entries"]]
    why = {"kind": "withdraw", "reason": "tapped the wrong child"}
    taking = wa.act("wa", *({**why, "target": ref} for ref in refs))
    answer = wa.post("/api/acts", taking)
    assert answer.status_code == 201
    again = wa.post("/api/acts", taking)
    assert (again.status_code, again.json()) == (200, answer.json())
    ids = answer.json()["events"]
    wa.state("wa", *({**why, "target": event} for event in ids))
    held = {one["event"]: one for one in wa.entries()}
    assert all(held[event]["kind"] == "withdraw" and "reason" not in held[event] for event in ids)


def test_a_refused_act_leaves_nothing(wa: Browser) -> None:
    before = wa.entries()
    answer = wa.post("/api/acts", wa.act("wa", WEIGH, WEIGH | {"number": "77"}))
    assert answer.status_code == 422
    error = answer.json()["error"]
    assert error["code"] == "refused"
    assert "77, which is not on the roster of elm" in error["message"]
    assert "Fix these, then run the same command" not in str(error)
    assert wa.entries() == before


@pytest.mark.parametrize(
    ("wrong", "status"),
    [
        ({"act": "x-1"}, 400),
        ({"entries": []}, 400),
        ({"entries": "all"}, 400),
        ({"entries": [{"kind": "weigh"}] * 31}, 400),
        ({"entries": [WEIGH | {"ref": "elsewhere-1.1"}]}, 422),
        ({"clock": "yesterday"}, 400),
        ({"game": "g9"}, 403),
        ({"game": 7}, 400),
        ({"by": None}, 400),
        ({"held": {"g1": -1}}, 400),
        ({"held": [1]}, 400),
    ],
)
def test_an_act_of_another_form(wa: Browser, wrong: dict[str, object], status: int) -> None:
    assert said(wa, wa.act("wa", WEIGH) | wrong)[0] == status


@pytest.mark.parametrize(
    ("cell", "status"),
    [
        ({"by": "we"}, 400),
        ({"game": "g2"}, 400),
        ({"entered": "2026-09-05T13:00"}, 400),
        ({"count": 7}, 400),
        ({"shoe": "left"}, 400),
        ({"count": "7"}, 422),
        ({"value": "ovre"}, 422),
        ({"team": "oak"}, 422),
        ({"at": "5 September"}, 422),
    ],
)
def test_a_cell_that_does_not_belong(wa: Browser, cell: dict[str, str], status: int) -> None:
    assert said(wa, wa.act("wa", WEIGH | cell))[0] == status


def test_what_is_signed_is_not_tapped(wa: Browser) -> None:
    for kind in ("countersign", "season_close"):
        status, _ = said(wa, wa.act("wa", {"kind": kind, "team": "elm"}))
        assert status in (403, 422)


def test_a_text_that_may_hold_a_weight_is_asked_about(wa: Browser) -> None:
    act = wa.act("wa", LIST | {"note": "he is 104 lb"})
    answer = wa.post("/api/acts", act)
    assert answer.status_code == 422
    error = answer.json()["error"]
    assert error["code"] == "ask_texts"
    assert error["questions"] == [{"column": "note", "words": ["104 lb"]}]
    assert said(wa, act | {"fine": True}) == (201, "")


def test_who_may(server: Served, wa: Browser) -> None:
    nobody = Browser(server.url)
    assert said(nobody, nobody.act("wa", WEIGH)) == (401, "signed_out")
    assert said(wa, wa.act("we", WEIGH)) == (401, "signed_out")
    wa.post("/api/sign-in", {"official": "we"})
    assert said(wa, wa.act("we", WEIGH)) == (403, "to_confirm")
    coach = server.browser("ca")
    assert said(coach, coach.act("ca", WEIGH)) == (403, "not_yours")
    (event,) = wa.state("wa", WEIGH)
    back = {"kind": "withdraw", "target": event, "reason": "not mine"}
    assert said(coach, coach.act("ca", back)) == (403, "not_yours")
    nobody.http.close()


def test_a_clock_that_is_off_is_noted_and_told(ledger: Path, wa: Browser) -> None:
    act = wa.act("wa", WEIGH, LIST | {"note": "ill"}) | {"clock": "2026-01-01T00:00:00.000Z"}
    answer = wa.post("/api/acts", act)
    assert answer.json()["clock_off_s"] < -60
    store = open_store(ledger)
    notes = [disclosed(store, store.event(event))["note"] for event in answer.json()["events"]]
    store.close()
    assert notes[0].startswith("The device's clock was ")
    assert notes[0].endswith(" minutes behind.")
    assert notes[1] == f"ill {notes[0]}"
    right = wa.get("/api/games/g1")["now"]
    again = wa.post("/api/acts", act | {"clock": right})  # the clock was set meanwhile
    assert again.status_code == 200
    assert "clock_off_s" not in again.json()


def test_a_right_clock_leaves_no_note(ledger: Path, wa: Browser) -> None:
    act = wa.act("wa", WEIGH) | {"clock": wa.get("/api/games/g1")["now"]}
    answer = wa.post("/api/acts", act)
    assert "clock_off_s" not in answer.json()
    store = open_store(ledger)
    assert disclosed(store, store.event(answer.json()["events"][0])) == {}
    store.close()


def test_what_devices_hold(server: Served, wa: Browser) -> None:
    wa.post("/api/acts", wa.act("wa", WEIGH) | {"held": {"g1": 3}})
    other = server.browser("we")
    assert other.post("/api/devices", {"device": other.device, "held": {"g1": 0}}).is_success
    found = {one["device"]: one for one in wa.get("/api/games/g1/devices")}
    assert (found[wa.device]["held"], found[wa.device]["people"]) == (3, ["wa"])
    assert found[wa.device]["heard_s"] == 0
    assert found[other.device]["held"] == 0


def test_a_command_beside_it_is_seen_and_sees(ledger: Path, wa: Browser) -> None:
    before = wa.get("/api/games/g1")
    (ours,) = wa.state("wa", WEIGH)
    store = open_store(ledger)
    theirs = record(store, [{"kind": "stripe", "by": "wa", "game": "g1", "team": "elm",
                             "player": "e1"}]).event_ids[0]  # fmt: skip
    store.close()
    asked = f"/api/games/g1?after={before['position']}&edition={before['edition']}"
    after = wa.get(asked)
    assert [one["event"] for one in after["entries"]] == [ours, theirs]
    assert after["head"] is None
