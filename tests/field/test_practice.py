"""What the end of a practice says to each volunteer; nothing of it reaches a real ledger."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import httpx
import pytest
from click.testing import CliRunner

from ledger.actions.beginning import begin, practice_plan
from ledger.commands import weighbook
from ledger.derive.queries import queries
from ledger.field.guard import Place
from ledger.field.rights import PRACTICE_CALLS
from ledger.field.shell import PRINTED_BAND, STATIC, build, shell_html
from ledger.say import practice_lessons as lessons
from ledger.say.practice_morning import TWIN, Morning
from ledger.say.practice_scenes import TEN, all_scenes
from tests.field.desk import make_ledger
from tests.field.practiced import Volunteer, practiced
from tests.field.served import PORT, served
from tests.tiny import load

ROOT = str(Path(__file__).parents[2])
OVER = ("d12", "d15", "d41b")


@pytest.fixture(scope="module")
def shared() -> Iterator[Volunteer]:
    with practiced() as found:
        yield found


@pytest.fixture
def volunteer(shared: Volunteer) -> Volunteer:
    return shared.begin(TEN)


def scale(one: Volunteer, scene: str) -> None:
    one.call(scene).state({"kind": "station", "reading": "10", "limit": "95"})


def line(
    one: Volunteer,
    *,
    early: tuple[str, ...] = (),
    wrong: dict[str, str] | None = None,
    on_paper: bool = True,
) -> None:
    """The line up to the close; `early` are answered too early, `wrong` otherwise than the beam."""
    said = wrong or {}

    def weigh(scene: str, key: str, *, mark: bool = False, cross: str = "") -> None:
        truth = "over" if key in OVER else "ok"
        value = said.get(key, truth)
        one.call(scene).weigh(key, value, early=key in early, mark=mark, cross=cross)

    one.state({"kind": "at_scale", "team": one.morning.own})
    scale(one, "scale")
    for scene, key in (("plain", "d2"), ("slow", "d9"), ("over", "d12"), ("pad", "d15")):
        weigh(scene, key)
    for scene, key in (("gear", "d20"), ("shirt", "d30")):
        one.call(scene).state({"kind": "list", **one.about(key), "reason": "equipment"})
    weigh("rib", "d23")
    weigh("kicker", "d45")
    one.call("number").weigh("d7", "ok")
    one.call("fix").take_back("d7").weigh("d77", "ok", mark=True)
    weigh("seven", "d7")
    one.state({"kind": "concern", **one.about("d7"), "reason": "mouth_guard"})
    one.call("roster").weigh("unlisted-33", "ok", mark=True)
    weigh("twice", "d41")
    weigh("twin", "d41b", mark=True)
    one.call("third")
    weigh("injured", "d58", cross="injured")
    case = {"kind": "case_open", "case": f"c-{one.morning.number}", "reason": "weigh"}
    one.call("coach").state({**case, "note": "Is the scale right?"})
    one.call("cry")
    one.call("paper").weigh("d36", "ok", on_paper=on_paper)
    one.call("broken").state({"kind": "scale_out", "reason": "it broke"})
    for scene, key in (("marked", "d66"), ("unmarked", "d70")):
        one.call(scene).weigh(key, "no_scale")
    scale(one, "spare")
    weigh("lena", "d70", mark=True)
    weigh("back", "d20", cross="-")
    one.state({"kind": "concern", **one.about("d20"), "reason": "cleats"})
    weigh("dressed", "d30", cross="-")
    weigh("ready", "d64")


def close(one: Volunteer) -> None:
    absent = [{"kind": "list", **one.about(key), "reason": "absent"} for key in ("d80", "d90")]
    one.call("close").state(*absent, {"kind": "close", "team": one.morning.team})


def after(one: Volunteer, *, read: bool = True) -> None:
    one.play("kites").call("sign").sign(read=read).call("other").play("sign")
    one.call("late").weigh("d80", "ok", kind="late_weigh", cross="-").call("half").play("half")


def all_right(one: Volunteer) -> None:
    line(one)
    close(one)
    after(one)


def signs_too_early(one: Volunteer) -> None:
    """Both lists in the middle of the line, unread; the other side goes home unasked."""
    line(one)
    one.play("kites").call("sign").sign(read=False)
    one.call("other")
    one.state({"kind": "weigh", **one.about("d90"), "value": "over"})
    one.call("close").state({"kind": "close", "team": one.morning.team})


def weighs_twice(one: Volunteer) -> None:
    """Gives in to the child who takes the pad off."""
    line(one)
    one.take_back("d15").weigh("d15", "ok")
    one.seen["pad"]["notes"] = ["again"]
    one.weigh("d23", "ok")
    close(one)
    after(one)


def says_yes_to_all(one: Volunteer) -> None:
    """A shoe stays beside the scale, a third weighmaster at it; metal under a shoe is not noted."""
    line(one)
    one.seen["kicker"]["notes"] = ["shoe"]
    one.seen["third"]["notes"] = ["third"]
    entries = one.browser.get(f"/api/games/{one.morning.game}").json["entries"]
    (noted,) = [entry for entry in entries if entry.get("reason") == "cleats"]
    one.state({"kind": "withdraw", "target": noted["event"], "reason": "x"})
    close(one)
    after(one)


def marks_wrongly(one: Volunteer) -> None:
    """Does not wait for the beam, and taps what was guessed."""
    line(one, early=("d2", "d12"), wrong={"d12": "ok", "d9": "over"}, on_paper=False)
    close(one)
    after(one)


@pytest.mark.parametrize(
    ("plays", "missed"),
    [
        (all_right, {}),
        (
            signs_too_early,
            {
                "tape": ["90"],
                "list": ["80", "90"],
                "book": ["90"],
                "too soon": ["80", "90"],
                "unread": [],
                "other side": [],
            },
        ),
        (weighs_twice, {"again": ["15", "23"]}),
        (marks_wrongly, {"early": ["2", "12"], "wrong": ["9", "12"], "paper": ["36"]}),
        (says_yes_to_all, {"worn": ["45"], "shoes": ["20"], "third": []}),
    ],
)  # fmt: skip
def test_what_the_end_says(
    volunteer: Volunteer, plays: Callable[[Volunteer], None], missed: dict[str, list[str]]
) -> None:
    plays(volunteer)
    assert volunteer.missed() == missed


def test_what_was_not_played_is_not_spoken_of(volunteer: Volunteer) -> None:
    """Someone who stops at the second child hears of the beam, not of a list."""
    assert volunteer.end() == {"well": [], "missed": []}
    volunteer.state({"kind": "at_scale", "team": volunteer.morning.own})
    scale(volunteer, "scale")
    volunteer.call("plain").weigh("d2", "over")
    end = volunteer.end()
    assert [one["code"] for one in end["missed"]] == ["wrong"]
    assert {one["code"] for one in end["well"]} == {"scale", "early"}


def test_what_was_skipped_did_not_go_well(volunteer: Volunteer) -> None:
    """Nor does the end say more than that it is not written down."""
    for scene in ("scale", "pad", "fix", "injured", "coach", "sign"):
        volunteer.call(scene).seen[scene]["done"] = False
    end = volunteer.end()
    assert end["well"] == []
    assert [one["code"] for one in end["missed"]] == ["coach"]


def test_a_list_signed_in_mid_line_is_told_whenever_one_stops(volunteer: Volunteer) -> None:
    volunteer.state({"kind": "at_scale", "team": volunteer.morning.own})
    scale(volunteer, "scale")
    volunteer.call("plain").weigh("d2", "ok").sign().call("slow").weigh("d9", "ok")
    (code, numbers), *others = volunteer.missed().items()
    assert (code, others) == ("too soon", [])
    assert "9" in numbers
    assert "2" not in numbers


def test_an_answer_before_the_child_stepped_up_is_no_waiting(volunteer: Volunteer) -> None:
    """Nor when it was taken back, and given again once the beam had rested."""
    volunteer.begin("minute").call("begin").weigh("d8", "over").take_back("d8")
    volunteer.call("first").weigh("d8", "ok", mark=True)
    assert volunteer.missed() == {"early": ["8"]}


def test_a_wrong_answer_takes_the_praise_of_all_that_follows_from_it(volunteer: Volunteer) -> None:
    """12 rested at the stop: no tape on the helmet, and a wrong mark in the book."""
    volunteer.begin("minute").call("begin").call("first").weigh("d8", "ok", mark=True)
    volunteer.call("second").weigh("d12", "ok", mark=True)
    volunteer.call("number").weigh("d21", "ok", mark=True)
    volunteer.call("fix").take_back("d21").weigh("d27", "ok", mark=True)
    assert volunteer.missed() == {"wrong": ["12"]}
    assert volunteer.praised() == {"early", "number"}


def test_a_list_signed_with_children_open_was_not_finished(volunteer: Volunteer) -> None:
    """And a late child who was never listed was not crossed off."""
    line(volunteer)
    volunteer.call("close").state({"kind": "close", "team": volunteer.morning.team})
    volunteer.play("kites").call("sign").sign().call("other").play("sign")
    volunteer.call("late").weigh("d80", "ok", kind="late_weigh").call("half").play("half")
    missed = volunteer.missed()
    assert missed["too soon"] == missed["list"] == ["80", "90"]
    assert not {"late", "too soon", "list"} & volunteer.praised()


def test_a_scale_that_was_called_ready_before_it_was_set(volunteer: Volunteer) -> None:
    """The beam still stood at the limit of the division before."""
    volunteer.call("scale").seen["scale"]["settled"] = None
    volunteer.state({"kind": "station", "reading": "10", "limit": "95"})
    assert volunteer.missed() == {"scale": []}
    assert volunteer.praised() == set()


def test_one_minute(volunteer: Volunteer) -> None:
    """A wrong tap that stays is told; one that is taken back went well."""
    volunteer.begin("minute").call("begin").call("first").weigh("d8", "ok", mark=True)
    volunteer.call("second").weigh("d12", "over", mark=True)
    volunteer.call("number").weigh("d21", "ok", mark=True).call("fix").weigh("d27", "ok", mark=True)
    assert volunteer.missed() == {"number": ["21"]}
    volunteer.take_back("d21")
    end = volunteer.end()
    assert end["missed"] == []
    assert [one["code"] for one in end["well"]] == ["early", "wrong", "number", "tape", "book"]


def test_a_new_morning_knows_nothing_of_the_last(volunteer: Volunteer) -> None:
    all_right(volunteer)
    before = volunteer.morning
    volunteer.begin(TEN)
    head = volunteer.browser.get(f"/api/games/{volunteer.morning.game}").json
    assert [one["kind"] for one in head["entries"]] == ["list"]
    assert not set(map(volunteer.morning.player, before.drums)) & set(
        map(before.player, before.drums)
    )


def test_anyone_who_opens_the_page_is_the_weighmaster(volunteer: Volunteer) -> None:
    me = volunteer.browser.me()
    assert [(one["name"], one["is_confirmed"]) for one in me["people"]] == [("Dot Doorbell", True)]
    assert (me["practice"], me["is_practice"]) == (volunteer.practice.name, True)


def test_a_printed_page_says_what_it_is(volunteer: Volunteer) -> None:
    one = volunteer.morning
    for paper in (f"list/{one.game}/{one.team}", f"card/{one.game}"):
        html = volunteer.browser.get(f"/print/{paper}").content.decode()
        assert html.count("PRACTICE. Nothing here counts.") == 1
        assert f"/static/{build().version}/{PRINTED_BAND}" in html
    assert PRINTED_BAND in build().files


def test_a_practice_and_a_real_ledger_do_not_mix(volunteer: Volunteer, tmp_path: Path) -> None:
    """A page that stayed open while its server became another: its taps wait on it."""
    body = {"device": "testdevice", "held": {}}
    for other in (None, "ffffffff"):
        answer = volunteer.browser.post("/api/devices", body, x_weighbook_practice=other)
        assert (answer.status, answer.code) == (421, "practice")
    with served(make_ledger(tmp_path, keys=())) as real:
        browser = real.browser()
        answer = browser.post("/api/sign-in", {"official": "wa"}, x_weighbook_practice="ffffffff")
        assert (answer.status, answer.code) == (421, "practice")
        assert (browser.me()["practice"], browser.me()["is_practice"]) == ("", False)
        routes = {route.path for route in real.app.routes}
        assert not routes & {call.partition(" ")[2] for call in PRACTICE_CALLS}
    real, practice = Place.on_loopback(PORT), Place.on_loopback(PORT).for_practice("abcd1234")
    assert real.cookie != practice.cookie


def test_a_season_begun_for_practice_is_known_by_its_league(tmp_path: Path) -> None:
    """It is served as any ledger is, and its page marked as a practice's."""
    begin(tmp_path / "season", practice_plan(None))
    load(tmp_path / "season.weighbook", tmp_path / "season")
    with served(tmp_path / "season.weighbook") as begun:
        me = begun.browser().me()
        assert (me["practice"], me["is_practice"]) == ("", True)


def test_a_real_page_has_nothing_of_a_practice() -> None:
    assert "practice/" not in shell_html()
    assert not [name for name in build().kept if name.startswith("practice/")]
    html = shell_html(practice="abcd1234")
    assert 'data-practice="abcd1234"' in html
    assert "PRACTICE." in html


def test_the_scenes_name_what_there_is() -> None:
    """Children, screens' conditions, lessons' scenes, rules: a wrong key would wait for ever."""
    tests = set(re.findall(r"^    (\w+): ", (STATIC / "practice/holds.js").read_text(), re.M))
    for kind, scenes in all_scenes().items():
        children = {*Morning(1, kind, None).drums, TWIN, "unlisted-33"}  # type: ignore[arg-type]
        for scene in scenes:
            whens = [line["when"] for line in scene["lines"] if "when" in line]
            assert set(scene.get("truth", {})) <= children
            asked = (scene.get("until", {}), scene.get("astray", {}), *whens)
            assert {key for when in asked for key in when} <= tests
            hints = [one for one in (scene, *scene["lines"]) if "hint" in one]
            assert hints or "until" not in scene or scene["scene"] in ("begin", "other")
    played = {scene["scene"] for scenes in all_scenes().values() for scene in scenes}
    assert {name for one in lessons.LESSONS for name in one.scenes} <= played
    codes = {one.code for one in lessons.LESSONS}
    assert set(lessons.SHOWN_BY.values()) <= codes
    assert {*lessons.SHOWN_BY, *lessons.UNTOLD} <= set(queries())


def test_the_command_leaves_nothing_behind(tmp_path: Path) -> None:
    """Nor does it touch the ledger that lies there."""
    mine = tmp_path / "season.weighbook"
    mine.write_bytes(b"mine")
    command = [sys.executable, "-m", "ledger.commands", "serve", "--practice", "--port", "0"]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=tmp_path,
        env=os.environ | {"TMPDIR": str(tmp_path), "PYTHONPATH": ROOT, "PYTHONUNBUFFERED": "1"},
    ) as started:  # fmt: skip
        try:
            assert started.stdout is not None
            (url,) = re.findall(r"http://\S+", started.stdout.readline())
            assert len(list(tmp_path.glob("weighbook-practice-*"))) == 1
            assert httpx.get(url).status_code == 200
        finally:
            started.send_signal(signal.SIGTERM)
        _, said = started.communicate(timeout=30)
    assert said == "The practice is over, and its ledger is gone.\n"
    assert list(tmp_path.iterdir()) == [mine]
    assert mine.read_bytes() == b"mine"


@pytest.mark.parametrize("words", ["--store mine", "--chain mine", "--hotspot", "--make-ca"])
def test_a_practice_takes_no_ledger_of_ones_own(words: str) -> None:
    option, *value = words.split()
    ran = CliRunner().invoke(weighbook, ["serve", "--practice", option, *value])
    assert ran.exit_code == 2
    assert f"leave out {option}" in ran.output
