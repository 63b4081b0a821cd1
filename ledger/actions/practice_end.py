"""What went well and what was missed on a practice morning.

From the findings that a real game would have, and what only a practice knows: what the beam said,
when it settled, what was said to a child. It counts nothing, and ranks nobody.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from ledger.chain.event import Event
from ledger.derive.answers import ask
from ledger.derive.rule_header import rule_header
from ledger.record.times import moment_of
from ledger.record.withdrawals import withdrawn
from ledger.say import practice_lessons as lessons
from ledger.say.practice_morning import YOU, Morning
from ledger.say.practice_scenes import OVER, all_scenes, settles
from ledger.store.league import league_data
from ledger.store.store import Store
from ledger.store.withdrawals import withdrawals_of

READ_SECONDS = 6
"""Nobody reads a list and types a passphrase in less."""
_SCALE = ("ok", "over")
_WEIGHS = ("weigh", "late_weigh")


@dataclass(frozen=True)
class Seen:
    """A scene that was played: when it was called, when its beam stood, what was chosen.

    Times are UTC text of the device, as those of its entries. `done`: what it waited for came.
    """

    scene: str
    called: str
    settled: str = ""
    notes: tuple[str, ...] = ()
    done: bool = False


@dataclass(frozen=True)
class Told:
    """One lesson, as the end tells it. `numbers` are those of children, if it is about some."""

    code: str
    text: str
    rule: str
    next: str
    numbers: tuple[str, ...] = ()


@dataclass(frozen=True)
class End:
    """What went well, and what was missed, in the order of a morning."""

    well: tuple[Told, ...]
    missed: tuple[Told, ...]


@dataclass
class _Judge:
    """What was missed, by lesson, with the numbers of children."""

    morning: Morning
    missed: dict[str, set[str]] = field(default_factory=dict)

    def miss(self, code: str, *players: str) -> None:
        numbers = {self.morning.number_of(player) for player in players if player}
        self.missed.setdefault(code, set()).update(numbers)


def end_of(store: Store, morning: Morning, seen: Sequence[Seen], opened: Mapping[str, str]) -> End:
    """The end of this morning. `opened`: when each team's list was first on the screen to sign."""
    found = ask(store, "findings", game=morning.game).answer.dicts()
    entries = _Entries(store, morning)
    judge = _Judge(morning)
    by_scene = {one.scene: one for one in seen}
    others = _by_findings(judge, found)
    _by_beams(judge, entries, by_scene)
    _by_scenes(judge, entries, by_scene)
    _by_signatures(judge, entries, opened)
    return _told(judge, by_scene, league_data(store), others)


class _Entries:
    """The game's entries: all, and those that count."""

    def __init__(self, store: Store, morning: Morning) -> None:
        read = list(store.events(game=[morning.game]))
        read += withdrawals_of(store, [one.id for one in read if one.event.at])
        self.all = [one.event for one in sorted(read)]
        taken = ((one.id, one.data["target"]) for one in self.all if one.kind == "withdraw")
        gone = withdrawn(taken)
        self.standing = [one for one in self.all if one.id not in gone]

    def weighs(self, player: str, *, standing: bool = True) -> list[Event]:
        """The child's weighs on the scale, as the volunteer wrote them down."""
        read = self.standing if standing else self.all
        return [
            one
            for one in read
            if one.player == player and one.kind in _WEIGHS and one.by == YOU
            and one.data["value"] in _SCALE
        ]  # fmt: skip

    def has(self, kind: str, player: str | None = None, **data: str) -> bool:
        return any(
            one.kind == kind
            and player in (None, one.player)
            and all(one.data.get(key) == text for key, text in data.items())
            for one in self.standing
        )


def _by_findings(judge: _Judge, found: Iterable[Mapping[str, Any]]) -> list[Told]:
    """Misses by the game's findings; those of no lesson are told by their own rule."""
    others = {}
    for row in found:
        rule = row["rule"]
        if rule == "list_not_countersigned":
            judge.miss("signed" if row["side"] == judge.morning.own else "other side")
        elif row["team"] == judge.morning.own or rule in lessons.UNTOLD:
            continue
        elif rule == "not_struck_off" and row["player"] == judge.morning.player("d80"):
            judge.miss("late", row["player"])
        elif rule in lessons.SHOWN_BY:
            judge.miss(lessons.SHOWN_BY[rule], row["player"] or "")
        else:
            header = rule_header(rule)
            others[rule] = Told(rule, header.sentence, f"{header.procedure.capitalize()}.", "")
    return list(others.values())


def _by_beams(judge: _Judge, entries: _Entries, seen: Mapping[str, Seen]) -> None:
    for scene in all_scenes()[judge.morning.kind]:
        played = seen.get(scene["scene"])
        if played is None:
            continue
        for key, truth in scene.get("truth", {}).items():
            player = judge.morning.player(key)
            made = entries.weighs(player, standing=False)
            own = [str(one.at) for one in made]
            until = played.settled or "~"
            if settles(scene) and any(played.called <= at < until for at in own):
                judge.miss("early", player)
            last = entries.weighs(player)[:1]
            if truth not in _SCALE or not last or last[0].data["value"] == truth:
                continue
            tried = truth == OVER and any(one.data["value"] == OVER for one in made)
            judge.miss("again" if tried else "wrong", player)
        if "again" in played.notes:
            judge.miss("again", *map(judge.morning.player, scene["truth"]))


def _by_scenes(judge: _Judge, entries: _Entries, seen: Mapping[str, Seen]) -> None:
    """What single scenes ask for."""
    player = judge.morning.player
    wrong = "d7" if "d7" in judge.morning.drums else "d21"
    if fix := seen.get("fix"):
        stood = [one for one in entries.weighs(player(wrong)) if str(one.at) < fix.called]
        if stood:
            judge.miss("number", player(wrong))
    if not entries.has("list", player("d20"), reason="equipment"):
        judge.miss("gear", player("d20"))
    if not entries.has("concern", player("d7"), reason="mouth_guard"):
        judge.miss("guard", player("d7"))
    if not entries.weighs(player("unlisted-33")):
        judge.miss("roster")
    if not entries.has("case_open"):
        judge.miss("coach")
    if not entries.has("scale_out"):
        judge.miss("broken")
    if not entries.has("late_weigh", player("d80")):
        judge.miss("late", player("d80"))
    if cry := seen.get("cry"):
        until = seen["ready"].called if "ready" in seen else "~"
        about = [one for one in entries.standing if one.player == player("d64")]
        kinds = (*_WEIGHS, "list")
        if any(one.kind in kinds and cry.called <= str(one.at) < until for one in about):
            judge.miss("kind", player("d64"))
    if "paper" in seen and not seen["paper"].done:
        judge.miss("paper")


def _by_signatures(judge: _Judge, entries: _Entries, opened: Mapping[str, str]) -> None:
    signed = [one for one in entries.all if one.kind == "countersign" and one.by == YOU]
    for one in signed:
        since = opened.get(str(one.team), "")
        least = timedelta(seconds=READ_SECONDS)
        if since and moment_of(str(one.recorded)) - moment_of(since) < least:
            judge.miss("unread")
        later = [
            weigh
            for weigh in entries.standing
            if weigh.team == one.team and weigh.kind == "weigh" and str(weigh.at) > str(one.at)
        ]
        if later:
            judge.miss("too soon", *(str(weigh.player) for weigh in later))


def _told(
    judge: _Judge, seen: Mapping[str, Seen], league: Mapping[str, Any], others: Sequence[Told]
) -> End:
    well, missed = [], []
    for one in lessons.LESSONS:
        played = [seen[scene] for scene in one.scenes if scene in seen]
        if not played and not (one.at_once and one.code in judge.missed):
            continue
        rule = one.rule if isinstance(one.rule, str) else one.rule(league)
        if one.code in judge.missed:
            numbers = tuple(sorted(judge.missed[one.code], key=lambda n: (len(n), n)))
            missed.append(Told(one.code, one.missed, rule, one.next, numbers))
        elif any(scene.done for scene in played):  # of what was skipped, nothing went well
            well.append(Told(one.code, one.well, rule, one.next))
    if "sign" in seen:  # before the end of a morning, most findings are steps still to do
        missed += others
    return End(tuple(well), tuple(missed))
