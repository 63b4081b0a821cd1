"""The ledgers' clocks: when each draft was recorded, by the clock of its chain.

Chains have clocks that differ by seconds or days, and now and then one goes back. A season is
recorded live (about when things happen), early (long before: the games are still to come) or late
(typed in from paper after the last game).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from random import Random

from tests.random_seasons.chain import DAY, FIRST_RECORDED, HOUR, MINUTE, SECOND, Draft, utc

MODES = ("live", "live", "live", "early", "late")
APART = (0, 0, -SECOND, MINUTE, -MINUTE, HOUR, -HOUR, 2 * DAY, -2 * DAY)
SLIPS = (0, -1, -MINUTE, -HOUR, -DAY, -8 * DAY, HOUR)
PACES = {
    "live": (0, 0, 1, SECOND, SECOND, MINUTE),
    "early": (0, 1, SECOND, MINUTE, HOUR, DAY),
    "late": (0, 1, SECOND, SECOND),
}
LedgerOrder = tuple[str, str, int]


class Clocks:
    def __init__(self, rng: Random, chains: Sequence[str], last_kickoff: int) -> None:
        self.rng = rng
        self.mode = rng.choice(MODES)
        self.now = FIRST_RECORDED
        self.after_the_season = last_kickoff + 2 * DAY
        self.apart = {chain: rng.choice(APART) if n else 0 for n, chain in enumerate(chains)}
        self.slip_chance = rng.choice((0.0, 0.0, 0.0, 0.05))
        self.lengths: dict[str, int] = {}
        self.latest: dict[str, str] = {}

    def load(self, rows: Iterable[Draft]) -> list[LedgerOrder]:
        """The tables: one load, at one moment or a little apart."""
        step_chance = self.rng.choice((0.0, 0.0, 0.1))
        places = []
        for draft in rows:
            self.now += self.rng.random() < step_chance
            places.append(self._keep(draft))
        if self.mode == "late":
            self.now = self.after_the_season
        return places

    def pass_to(self, moment: int) -> None:
        """In a season recorded live it is this late by now, or a little later."""
        if self.mode == "live":
            self.now = max(self.now, moment + self.rng.choice((0, SECOND, MINUTE)))

    def record(self, draft: Draft) -> LedgerOrder:
        """Puts `recorded` into the draft; its place in ledger order."""
        self.now += self.rng.choice(PACES[self.mode])
        if self.rng.random() < self.slip_chance:
            self.apart[draft["chain"]] = self.rng.choice(SLIPS)
        return self._keep(draft)

    def _keep(self, draft: Draft) -> LedgerOrder:
        chain = draft["chain"]
        draft["recorded"] = utc(self.now + self.apart[chain])
        self.lengths[chain] = self.lengths.get(chain, 0) + 1
        self.latest[chain] = max(self.latest.get(chain, ""), draft["recorded"])
        return (self.latest[chain], chain, self.lengths[chain])
