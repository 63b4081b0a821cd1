"""Whether the answers of a practice morning are what its beams said, and came after them."""

from __future__ import annotations

from collections.abc import Mapping

from ledger.actions.practice_seen import EVER, ON_SCALE, Entries, Judge, Seen, between
from ledger.say.practice_scenes import OVER, all_scenes, settles

_SECOND_TRY = "pad"
"""The scene in which a child asks for one."""


def by_beams(judge: Judge, entries: Entries, seen: Mapping[str, Seen]) -> None:
    """Judge each child's answers by the scenes in which the child stood on the scale."""
    player = judge.morning.player
    scenes = all_scenes()[judge.morning.kind]
    keys = dict.fromkeys(key for scene in scenes for key in scene.get("truth", {}))
    for key in keys:
        own = [one for one in scenes if key in one.get("truth", {})]
        _early(judge, entries, player(key), [seen.get(one["scene"]) for one in own if settles(one)])
        played = [one for one in own if one["scene"] in seen]
        if played:
            truth = played[-1]["truth"][key]
            _answer(judge, entries, player(key), truth, is_pad=played[-1]["scene"] == _SECOND_TRY)
    for key in judge.morning.drums:
        if key not in keys and entries.weighs(player(key)):  # never was on the scale
            judge.spoil("wrong", "number", "tape", "book")


def _early(judge: Judge, entries: Entries, player: str, seen: list[Seen | None]) -> None:
    """Each answer belongs to the last scene of the child that had been called; else to the first,
    and then it came before the child stepped up.
    """
    played = [one for one in seen if one]
    made = entries.weighs(player, standing=False)
    if seen and not played and made:
        judge.miss("early", player)
    for at, one in enumerate(played):
        since = one.called if at else ""
        until = played[at + 1].called if at + 1 < len(played) else EVER
        if between(made, since, min(until, one.settled or EVER)):
            judge.miss("early", player)


def _answer(judge: Judge, entries: Entries, player: str, truth: str, *, is_pad: bool) -> None:
    if truth not in ON_SCALE:
        return
    if (truth == OVER) != entries.has("stripe", player):
        judge.spoil("tape")
    standing = entries.weighs(player)[:1]
    if not standing:
        if player not in _misread(judge):
            judge.spoil("book")
        return
    if standing[0].data["value"] == truth:
        return
    judge.spoil("wrong", "tape", "book")
    made = {str(one.data["value"]) for one in entries.weighs(player, standing=False)}
    judge.miss("again" if is_pad and OVER in made else "wrong", player)


def _misread(judge: Judge) -> tuple[str, ...]:
    """The children whose number was read wrong: their answer is to be taken back."""
    return tuple(map(judge.morning.player, ("d7", "d21")))
