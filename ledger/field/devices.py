"""What each device last said that it still holds: acts not sent yet, by game."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from time import monotonic
from typing import Any

MOST_DEVICES = 500
_MOST_GAMES = 50


@dataclass(frozen=True)
class Device:
    """A device as it was heard last: who is signed in on it, what it holds by game."""

    people: tuple[str, ...]
    held: Mapping[str, int]
    heard: float


class Devices:
    """Kept in memory only: a device that is alive says it again."""

    def __init__(self) -> None:
        self._devices: dict[str, Device] = {}

    def hear(self, device: str, held: Mapping[str, int], people: Sequence[str]) -> None:
        """Note what the device holds."""
        before = self._devices.pop(device, None)
        # A game that it says nothing of any more: all of that is sent.
        games = {**dict.fromkeys(before.held if before else (), 0), **held}
        while len(games) > _MOST_GAMES:
            del games[next(iter(games))]
        self._devices[device] = Device(tuple(people), games, monotonic())
        while len(self._devices) > MOST_DEVICES:
            del self._devices[next(iter(self._devices))]

    def of_game(self, game: str) -> list[dict[str, Any]]:
        """The devices that spoke of this game, the latest heard last."""
        now = monotonic()
        return [
            {
                "device": device,
                "people": list(one.people),
                "held": one.held[game],
                "heard_s": round(now - one.heard),
            }
            for device, one in self._devices.items()
            if game in one.held
        ]
