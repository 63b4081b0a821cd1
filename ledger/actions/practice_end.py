"""What went well and what was missed on a practice morning.

From the findings that a real game would have, and what only a practice knows: what the beam said,
when it settled, what was said to a child. It counts nothing, and ranks nobody.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from ledger.actions.practice_beams import by_beams
from ledger.actions.practice_seen import EVER, WEIGHS, Entries, Judge, Seen, between
from ledger.derive.answers import ask
from ledger.derive.rule_header import rule_header
from ledger.record.times import moment_of
from ledger.say import practice_lessons as lessons
from ledger.say.practice_morning import TWIN, YOU, Morning
from ledger.say.practice_scenes import MINUTE, OVER
from ledger.store.league import league_data
from ledger.store.store import Store

READ_SECONDS = 6
"""Nobody reads a list and types a passphrase in less."""


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


def end_of(store: Store, morning: Morning, seen: Sequence[Seen], opened: Mapping[str, str]) -> End:
    """The end of this morning. `opened`: when each team's list was first on the screen to sign."""
    found = ask(store, "findings", game=morning.game).answer.dicts()
    entries = Entries(store, morning)
    judge = Judge(morning)
    by_scene = {one.scene: one for one in seen}
    others = _by_findings(judge, found)
    by_beams(judge, entries, by_scene)
    _by_scenes(judge, entries, by_scene)
    _by_signatures(judge, entries, opened)
    return _told(judge, by_scene, league_data(store), others)


def _by_findings(judge: Judge, found: Iterable[Mapping[str, Any]]) -> list[Told]:
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


def _by_scenes(judge: Judge, entries: Entries, seen: Mapping[str, Seen]) -> None:
    """What single scenes ask for."""
    player = judge.morning.player
    wrong = player("d21" if judge.morning.kind == MINUTE else "d7")
    if fix := seen.get("fix"):
        if between(entries.weighs(wrong), "", fix.called):
            judge.miss("number", wrong)
        if not between(entries.weighs(wrong, standing=False), "", fix.called):
            judge.spoil("number")  # there was no wrong tap
    _scale(judge, entries, seen)
    for scene, key in (("gear", "d20"), ("shirt", "d30")):
        if scene in seen and not entries.has("list", player(key), reason="equipment"):
            judge.miss("gear", player(key))
    if not entries.has("concern", player("d20"), reason="cleats"):
        judge.miss("shoes", player("d20"))
    if not entries.has("concern", player("d7"), reason="mouth_guard"):
        judge.miss("guard", player("d7"))
    if not entries.weighs(player("unlisted-33")):
        judge.miss("roster")
    if not (entries.has("strike_off", player("d58")) and entries.weighs(player("d58"))):
        judge.spoil("injured")
    if not entries.has("case_open"):
        judge.miss("coach")
    if not entries.has("late_weigh", player("d80")):
        judge.miss("late", player("d80"))
    if not entries.has("strike_off", player("d80")):  # it never stood on the list
        judge.spoil("late")
    if cry := seen.get("cry"):
        until = seen["ready"].called if "ready" in seen else EVER
        about = [one for one in entries.all if one.player == player("d64") and one.by == YOU]
        if any(one.kind in (*WEIGHS, "list") for one in between(about, cry.called, until)):
            judge.miss("kind", player("d64"))
    if not any(one.entered != one.at for one in entries.weighs(player("d36"))):
        judge.miss("paper", player("d36"))
    _by_choices(judge, seen)


def _by_choices(judge: Judge, seen: Mapping[str, Seen]) -> None:
    """What was said to somebody, and is not written down."""
    for scene, note, code, key in (
        ("pad", "again", "again", "d15"),
        ("kicker", "shoe", "worn", "d45"),
        ("third", "third", "third", ""),
    ):
        if scene in seen and note in seen[scene].notes:
            judge.miss(code, judge.morning.player(key) if key else "")


def _scale(judge: Judge, entries: Entries, seen: Mapping[str, Seen]) -> None:
    """Whether it was ready, as the caller told it, before a child stepped on it; and out of use
    once it was broken.
    """
    stations = [one for one in entries.standing if one.kind == "station" and one.by == YOU]
    for scene in ("scale", "spare"):
        if checked := seen.get(scene):
            good = between(stations, checked.settled or EVER, EVER)
            ready = str(good[0].at) if good else EVER
            if between(entries.weighs(), checked.called, ready) or (
                not good and between(stations, checked.called, EVER)
            ):
                judge.miss("scale")
    if not entries.has("scale_out"):
        judge.miss("broken")
    if broken := seen.get("broken"):
        until = seen["spare"].called if "spare" in seen else EVER
        used = between(entries.weighs(), broken.called, until)
        if used:
            judge.miss("broken", *(str(one.player) for one in used))


def _by_signatures(judge: Judge, entries: Entries, opened: Mapping[str, str]) -> None:
    own = [one for one in entries.standing if one.by == YOU and one.team == judge.morning.team]
    for one in own:
        if one.kind == "close":
            judge.miss_all("list", _open_at(judge, entries, str(one.at)))
    for one in [one for one in entries.all if one.kind == "countersign" and one.by == YOU]:
        since = opened.get(str(one.team), "")
        least = timedelta(seconds=READ_SECONDS)
        if not since:
            judge.spoil("unread")
        elif moment_of(str(one.recorded)) - moment_of(since) < least:
            judge.miss("unread")
        later = [
            str(weigh.player)
            for weigh in entries.standing
            if weigh.team == one.team and weigh.kind == "weigh" and str(weigh.at) > str(one.at)
        ]
        if one.team == judge.morning.team:
            later += _open_at(judge, entries, str(one.at))
            later += _untaped_at(judge, entries, str(one.at))
        judge.miss_all("too soon", later)


def _open_at(judge: Judge, entries: Entries, at: str) -> list[str]:
    """The children who were neither weighed nor listed before this moment."""
    keys = [*judge.morning.drums] + ([] if judge.morning.kind == MINUTE else [TWIN])
    players = map(judge.morning.player, keys)
    return [
        player
        for player in players
        if not any(entries.has(kind, player, until=at) for kind in (*WEIGHS, "list"))
    ]


def _untaped_at(judge: Judge, entries: Entries, at: str) -> list[str]:
    """The children who were over, and without tape, at this moment."""
    over = [one for one in between(entries.weighs(), "", at) if one.data["value"] == OVER]
    players = {str(one.player) for one in over if one.team == judge.morning.team}
    return [player for player in players if not entries.has("stripe", player, until=at)]


def _told(
    judge: Judge, seen: Mapping[str, Seen], league: Mapping[str, Any], others: Sequence[Told]
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
        elif one.code not in judge.spoiled and any(
            scene.done for scene in played
        ):  # of what was skipped, nothing went well
            well.append(Told(one.code, one.well, rule, one.next))
    if "sign" in seen:  # before the end of a morning, most findings are steps still to do
        missed += others
    return End(tuple(well), tuple(missed))
