"""What the caller of a practice asks: the scenes, a new morning, the other side's part, the end.

Served by `weighbook serve --practice` alone.
"""

from __future__ import annotations

from dataclasses import asdict
from functools import partial
from typing import Annotated, Any, Literal

from pydantic import Field, StringConstraints
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.actions.practice_end import end_of
from ledger.actions.practice_seen import Seen
from ledger.actions.practicing import Practice
from ledger.field.answers import answer
from ledger.field.bodies import Body, Name, Utc, read_body
from ledger.field.desk import Desk, desk_of
from ledger.say.practice_morning import OTHER, YOU, Morning
from ledger.say.practice_scenes import all_scenes

Word = Annotated[str, StringConstraints(pattern=r"^[a-z]{1,20}$")]


class Begin(Body):
    """Which morning."""

    morning: Literal["minute", "ten"]


class Play(Body):
    """What the other side does now."""

    what: Literal["kites", "sign", "half"]


class SeenScene(Body):
    """One scene that the caller told."""

    scene: Word
    called: Utc
    settled: Utc | None = None
    notes: tuple[Word, ...] = Field(default=(), max_length=5, strict=False)
    done: bool = False


class Played(Body):
    """The scenes so far; and when each team's list was first on the screen to sign."""

    seen: tuple[SeenScene, ...] = Field(default=(), max_length=60, strict=False)
    opened: dict[Name, Utc] = Field(default_factory=dict, max_length=10)


async def get_practice(request: Request) -> Response:
    """The morning that is played."""
    return answer(_morning(_practice(request).morning))


async def post_begin(request: Request) -> Response:
    """Begin a morning anew. What stood in the one before counts for nothing in it."""
    desk, said = desk_of(request), await read_body(request, Begin)
    practice = _practice(request)
    await desk.writer.run_alone(lambda store: practice.begin(said.morning))
    return answer(_morning(practice.morning), 201)


async def post_play(request: Request) -> Response:
    """The other side weighs, or signs; the site official ends the half."""
    desk, said = desk_of(request), await read_body(request, Play)
    await desk.writer.run_alone(partial(_practice(request).play, said.what))
    return answer({}, 201)


async def post_end(request: Request) -> Response:
    """What went well and what was missed."""
    desk, said = desk_of(request), await read_body(request, Played)
    return answer(await _end(desk, _practice(request).morning, said))


ROUTES = [
    Route("/api/practice", get_practice),
    Route("/api/practice/begin", post_begin, methods=["POST"]),
    Route("/api/practice/play", post_play, methods=["POST"]),
    Route("/api/practice/end", post_end, methods=["POST"]),
]


def _practice(request: Request) -> Practice:
    found = desk_of(request).setting.practice
    assert found is not None, "these routes are served in a practice alone"
    return found


async def _end(desk: Desk, morning: Morning, said: Played) -> dict[str, Any]:
    seen = [
        Seen(one.scene, one.called, one.settled or "", one.notes, one.done) for one in said.seen
    ]
    return asdict(await desk.read(end_of, morning, seen, said.opened))


def _morning(morning: Morning) -> dict[str, Any]:
    """The morning with its scenes, and the ids behind their keys."""
    scenes = all_scenes()[morning.kind]
    keys = {key for scene in scenes for key in _keys_in(scene.get("until", {}))}
    return {
        "morning": morning.kind,
        "game": morning.game,
        "team": morning.team,
        "own": morning.own,
        "you": YOU,
        "other": OTHER,
        "players": {key: morning.player(key) for key in sorted(keys)},
        "scenes": [{k: v for k, v in scene.items() if k != "truth"} for scene in scenes],
    }


def _keys_in(until: dict[str, Any]) -> set[str]:
    """The keys of children in a condition."""
    named = [until[key] for key in ("done", "undone", "aside", "scaled") if key in until]
    named += until.get("listed", [])[:1]
    return set(named)
