"""What a practice morning left to judge: the scenes as they were played, and the entries made."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from ledger.chain.event import Event
from ledger.record.withdrawals import withdrawn
from ledger.say.practice_morning import YOU, Morning
from ledger.store.store import Store
from ledger.store.withdrawals import withdrawals_of

ON_SCALE = ("ok", "over")
WEIGHS = ("weigh", "late_weigh")
EVER = "~"
"""Later than every time."""


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


@dataclass
class Judge:
    """What was missed, by lesson, with the numbers of children; and of what nothing is praised."""

    morning: Morning
    missed: dict[str, set[str]] = field(default_factory=dict)
    spoiled: set[str] = field(default_factory=set)

    def miss(self, code: str, *players: str) -> None:
        numbers = {self.morning.number_of(player) for player in players if player}
        self.missed.setdefault(code, set()).update(numbers)

    def miss_all(self, code: str, players: Iterable[str]) -> None:
        """As `miss`, and nothing where there is nobody."""
        if found := [*players]:
            self.miss(code, *found)

    def spoil(self, *codes: str) -> None:
        """No praise: something about it is not as it should be, and is told elsewhere."""
        self.spoiled.update(codes)


class Entries:
    """The game's entries: all, and those that count."""

    def __init__(self, store: Store, morning: Morning) -> None:
        read = list(store.events(game=[morning.game]))
        read += withdrawals_of(store, [one.id for one in read if one.event.at])
        self.all = [one.event for one in sorted(read)]
        taken = ((one.id, one.data["target"]) for one in self.all if one.kind == "withdraw")
        gone = withdrawn(taken)
        self.standing = [one for one in self.all if one.id not in gone]

    def weighs(self, player: str | None = None, *, standing: bool = True) -> list[Event]:
        """The weighs on the scale, of this child or of all, as the volunteer wrote them down."""
        read = self.standing if standing else self.all
        return [
            one
            for one in read
            if player in (None, one.player) and one.kind in WEIGHS and one.by == YOU
            and one.data["value"] in ON_SCALE
        ]  # fmt: skip

    def has(self, kind: str, player: str | None = None, *, until: str = EVER, **data: str) -> bool:
        """Whether one stands, made at or before `until`: entries of one tap have one time."""
        return any(
            one.kind == kind
            and player in (None, one.player)
            and str(one.at) <= until
            and all(one.data.get(key) == text for key, text in data.items())
            for one in self.standing
        )


def between(events: list[Event], since: str, until: str) -> list[Event]:
    """Those from the one moment on, before the other."""
    return [one for one in events if since <= str(one.at) <= until]
