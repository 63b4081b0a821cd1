"""What happens on a practice morning: the scenes that the page's caller tells, one after another.

They stand in practice_scenes.json. Only what is seen and heard at the table is told; what to tap is
said in the first minute, and to whoever hesitates. The keys of a scene:

    scene   its name; what the end says of it goes by that (`ledger.say.practice_lessons`)
    truth   what the beam or the book says of each child in it: ok, over, no_scale
    until   what holds once it is over (static/practice/caller.js); none: once Next is pressed
    hint    what to do, said where nothing comes for some seconds; of a line, what its `when` asks
    astray  what holds where somebody did another thing: then the hint comes at once
    lines   text; `after` seconds, or once `when` holds, or by one of `choices`; `settles`: the beam
            stands now (of a choice: the scale is ready now); `does`: what the
            practice plays then: kites, sign, half

A child's key is "d12", the child of the Tin Drums who wears 12; "unlisted-33" is on no roster.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

MINUTE, TEN = "minute", "ten"
OVER = "over"
PASSPHRASE = "practice day"  # noqa: S105 - the caller tells it, and the ledger is thrown away

Scene = Mapping[str, Any]
_SAID = ("text", "label", "hint")
_FILE = Path(__file__).with_suffix(".json")


@cache
def all_scenes() -> Mapping[str, tuple[Scene, ...]]:
    """The scenes of each morning, MINUTE and TEN."""
    read = json.loads(_FILE.read_text(encoding="utf-8"))
    return {morning: tuple(scenes) for morning, scenes in read.items()}


def settles(scene: Scene) -> bool:
    """Whether a beam swings in it, and settles."""
    return any(line.get("settles") for line in scene["lines"])


def texts_of_scenes() -> Iterator[str]:
    """Every text, for the page's catalogue."""
    for scenes in all_scenes().values():
        for scene in scenes:
            if "hint" in scene:
                yield scene["hint"]
            for line in scene["lines"]:
                for said in (line, *line.get("choices", ())):
                    yield from (said[key] for key in _SAID if key in said)
