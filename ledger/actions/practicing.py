"""A ledger to practice on, in a folder that is removed at the end, and the other side of its table.

It opens no other ledger. The volunteer is one weighmaster, YOU; what the other side does, and the
site official, is played here, by the same actions as theirs.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from secrets import token_hex

from ledger.actions.asking import Acting
from ledger.actions.entries import record
from ledger.actions.keys import enroll
from ledger.actions.loading import load
from ledger.actions.signing import show_list, sign_with_key
from ledger.record.folder import read_folder
from ledger.say.new_season import folder_texts
from ledger.say.practice_morning import (
    KITE_OVER,
    OTHER,
    REGISTRAR,
    SITE,
    YOU,
    Morning,
    season_of,
)
from ledger.say.practice_scenes import MINUTE, PASSPHRASE
from ledger.store.opening import open_store
from ledger.store.store import Store

_ZONE = "America/Chicago"
_OTHERS_PASSPHRASE = "the other side's words"  # noqa: S105 - of a ledger that is thrown away


class Practice:
    """The throwaway ledger, and its mornings so far; the last is the one that is played.

    `name` is another each time: a browser keeps nothing of one practice for the next.
    """

    def __init__(self, folder: Path, time_zone: str = _ZONE) -> None:
        self.name = token_hex(4)
        self.ledger = folder / "practice.weighbook"
        self._season, self._zone = folder / "season", time_zone
        self._mornings: list[Morning] = []
        self._played: set[str] = set()
        self.begin(MINUTE)
        with closing(open_store(self.ledger)) as store:
            for official, words in ((YOU, PASSPHRASE), (OTHER, _OTHERS_PASSPHRASE)):
                enroll(store, official, by=REGISTRAR, acting=Acting(new_passphrase=words))

    @property
    def morning(self) -> Morning:
        return self._mornings[-1]

    def begin(self, kind: str) -> Morning:
        """Begin a morning of this kind: the season grows by its teams, children and game."""
        new = Morning(len(self._mornings) + 1, kind, datetime.now(UTC).replace(microsecond=0))
        mornings = [*self._mornings, new]
        season, days = season_of(mornings, self._zone)
        for name, text in (folder_texts(season) | days).items():
            path = self._season / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        load(self.ledger, read_folder(self._season))
        self._mornings, self._played = mornings, set()
        return new

    def play(self, what: str, store: Store) -> None:
        """Do what the other side does now, once a morning: "kites", "sign" or "half"."""
        plays = {"kites": self._weigh_kites, "sign": self._sign_both, "half": self._end_half}
        if what not in self._played:
            plays[what](store)
            self._played.add(what)

    def _weigh_kites(self, store: Store) -> None:
        """The other weighmaster weighs the volunteer's own team, and closes it."""
        one = self.morning
        of_game = {"by": OTHER, "game": one.game}
        entries = [of_game | {"kind": "at_scale", "team": one.team}]
        own = of_game | {"team": one.own}
        for player in one.kites:
            value = "over" if player == one.player(KITE_OVER) else "ok"
            about = own | {"player": player}
            entries.append(about | {"kind": "weigh", "value": value})
            entries.append(about | {"kind": "initial", "value": value, "initials": "SS"})
            if value == "over":
                entries.append(about | {"kind": "list", "reason": "over"})
                entries.append(about | {"kind": "stripe"})
        record(store, [*entries, own | {"kind": "close"}])

    def _sign_both(self, store: Store) -> None:
        """The other weighmaster signs both lists, whatever is still open about them."""
        for team in (self.morning.team, self.morning.own):
            asked = show_list(store, self.morning.game, team, OTHER)
            if not asked.has_signed:
                despite = frozenset(asked.shown.settling.codes)
                sign_with_key(
                    store, asked.shown, Acting(despite=despite, passphrase=_OTHERS_PASSPHRASE)
                )

    def _end_half(self, store: Store) -> None:
        record(store, [{"kind": "half", "by": SITE, "game": self.morning.game, "half": "1"}])


@contextmanager
def practicing() -> Iterator[Practice]:
    """A practice, with its folder, which is removed when the block ends."""
    with tempfile.TemporaryDirectory(prefix="weighbook-practice-") as folder:
        yield Practice(Path(folder))
