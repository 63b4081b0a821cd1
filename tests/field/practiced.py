"""A practice's server in this process, and a volunteer who plays a morning through its routes.

    with practiced() as volunteer:
        volunteer.begin("ten")
        volunteer.call("plain").weigh("d2", "ok")
        assert "early" not in volunteer.missed()

`call` tells a scene up to its beam, which settles at once; with `early`, an answer comes before it.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from itertools import count
from typing import Any

from ledger.actions.practicing import practicing
from ledger.field.desk import Setting
from ledger.field.guard import Place
from ledger.record.times import format_utc
from ledger.say.practice_morning import YOU, Morning
from ledger.say.practice_scenes import PASSPHRASE, all_scenes, settles
from tests.field.served import PORT, Browser, served_as

_NAMES = count(1)


class Volunteer:
    """One morning after another, on one device."""

    def __init__(self, browser: Browser, practice: Any) -> None:
        self.browser, self.practice = browser, practice
        self.seen: dict[str, dict[str, Any]] = {}
        self.opened: dict[str, str] = {}

    @property
    def morning(self) -> Morning:
        found: Morning = self.practice.morning
        return found

    def post(self, path: str, body: object) -> Any:
        answer = self.browser.post(path, body)
        assert answer.status in (200, 201), answer.content
        return answer.json

    def begin(self, kind: str) -> Volunteer:
        self.post("/api/practice/begin", {"morning": kind})
        self.seen, self.opened = {}, {}
        return self

    def call(self, scene: str) -> Volunteer:
        """The caller tells this scene, up to its beam, and its choices are made well."""
        kind = self.morning.kind
        (one,) = [one for one in all_scenes()[kind] if one["scene"] == scene]
        now = _now()
        settled = now if settles(one) or scene in ("scale", "spare") else None
        self.seen[scene] = {"scene": scene, "called": now, "settled": settled, "done": True}
        return self

    def state(
        self, *entries: dict[str, str], early: bool = False, on_paper: bool = False
    ) -> Volunteer:
        act = f"volunteer-{next(_NAMES)}"
        at = _now()
        own = [one | {"ref": f"{act}.{n}", "at": at} for n, one in enumerate(entries, 1)]
        body = {"act": act, "by": YOU, "game": self.morning.game, "entries": own}
        self.post("/api/acts", body | ({"entered": _now()} if on_paper else {}))
        if early:
            list(self.seen.values())[-1]["settled"] = _now()
        return self

    def about(self, key: str) -> dict[str, str]:
        if key == "unlisted-33":
            return {"team": self.morning.team, "number": "33", "name": "Pia Pepper"}
        return {"team": self.morning.team, "player": self.morning.player(key)}

    def weigh(self, key: str, value: str, *, early: bool = False, kind: str = "weigh",
              mark: bool = False, cross: str = "",
              on_paper: bool = False) -> Volunteer:  # fmt: skip
        """As the child's screen states it, tape included; or typed in from a sheet."""
        own = self.about(key)
        entries = [{"kind": kind, **own, "value": value}]
        if cross:
            entries.append(
                {"kind": "strike_off", **own} | ({"reason": cross} if cross != "-" else {})
            )
        if mark:
            entries.append({"kind": "initial", **own, "value": value, "initials": "DD"})
        if value == "over":
            entries += [{"kind": "list", **own, "reason": "over"}, {"kind": "stripe", **own}]
        return self.state(*entries, early=early, on_paper=on_paper)

    def take_back(self, key: str) -> Volunteer:
        """All that stands about the child."""
        player = self.about(key)["player"]
        entries = self.browser.get(f"/api/games/{self.morning.game}").json["entries"]
        own = [one for one in entries if one.get("player") == player and one["by"] == YOU]
        return self.state(
            *({"kind": "withdraw", "target": one["event"], "reason": "x"} for one in own)
        )

    def sign(self, *, read: bool = True) -> Volunteer:
        """Both lists, whatever is open."""
        for team in (self.morning.team, self.morning.own):
            path = f"/api/games/{self.morning.game}/teams/{team}"
            found = self.browser.get(f"{path}/list").json
            before = datetime.now(UTC) - timedelta(seconds=60 if read else 1)
            self.opened[team] = format_utc(before)
            despite = found["settle"]["codes"]
            said = {"official": YOU, "number": found["number"], "passphrase": PASSPHRASE}
            self.post(f"{path}/sign", said | {"despite": despite})
        return self

    def play(self, what: str) -> Volunteer:
        self.post("/api/practice/play", {"what": what})
        return self

    def end(self) -> Any:
        said = {"seen": list(self.seen.values()), "opened": self.opened}
        return self.post("/api/practice/end", said)

    def praised(self) -> set[str]:
        """The codes of what went well."""
        return {one["code"] for one in self.end()["well"]}

    def missed(self) -> dict[str, list[str]]:
        """The codes of what was missed, with the numbers of children."""
        return {one["code"]: one["numbers"] for one in self.end()["missed"]}


def _now() -> str:
    """Another moment than the last one told."""
    time.sleep(0.002)
    return format_utc(datetime.now(UTC))


@contextmanager
def practiced() -> Iterator[Volunteer]:
    """A practice, served until the block ends."""
    with practicing() as practice:
        place = Place.on_loopback(PORT).for_practice(practice.name)
        setting = Setting(practice.ledger, "office", place, print, practice)
        with served_as(setting) as server:
            browser = server.browser(headers={"x-weighbook-practice": practice.name})
            yield Volunteer(browser, practice)
