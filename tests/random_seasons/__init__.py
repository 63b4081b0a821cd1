"""Random small seasons that an accepting ledger could hold, as event dicts as they arrived: in the
order of each chain, but between chains not always in ledger order.

    random_season(seed, statements)   one season, the same for the same arguments
    corrected(events, seed)           that season with corrections of its tables
    seasons()                         a Hypothesis strategy of them; it shrinks to fewer statements
    smallest(events, fails)           a failing season with as many events left out as still fails
    as_of_moments(events)             each moment at which an answer as of it may change
    known_at_moments(events)          the same by `recorded`, of the tables too

`python -m tests.random_seasons` counts which findings and bases 500 of them have. Measured when
there were 44 rules: with one comparison, field, word or number of tests.reference changed at a time
(894 changes), some answer of the first 500 seasons changed too, save for 24 changes that cannot
matter. Measured again for order, roles, tables and signatures (160 changes), without `corrected`:
all but 13, of which 9 concern corrections and 4 cannot matter; and for the new findings of the
scale, rosters and record (27 changes): all.
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from hypothesis import strategies as st

from tests.random_seasons.again import again
from tests.random_seasons.builder import Builder
from tests.random_seasons.chain import (
    MINUTE,
    Event,
    faults,
    milliseconds,
    seal,
    smallest,
    unseal,
    utc,
    without,
)
from tests.random_seasons.corrected import corrected
from tests.random_seasons.game_day import Step, game_day
from tests.random_seasons.noise import random_step, season_close
from tests.random_seasons.offices import all_trained
from tests.random_seasons.tables import draw_tables

__all__ = [
    "Event",
    "as_of_moments",
    "corrected",
    "faults",
    "known_at_moments",
    "random_season",
    "seasons",
    "smallest",
    "unseal",
    "without",
]

FEWEST, MOST = 5, 120


def random_season(seed: int, statements: int | None = None) -> list[Event]:
    """A season of at most `statements` statements (default: drawn, 5 to 120) and its set-up. With
    the same seed a smaller number gives the beginning of the same season.
    """
    rng = Random(seed)
    drawn = rng.choice((rng.randint(FEWEST, MOST), rng.randint(60, MOST)))
    builder = Builder(rng, draw_tables(rng))
    if rng.random() < 0.4:
        builder.play_up()
    wanted = min(drawn if statements is None else statements, MOST)
    for at, step in _plan(builder, MOST if statements is not None else drawn):
        if builder.said >= wanted:
            break
        builder.clocks.pass_to(at)
        step()
    return seal(builder.drafts, Random(seed))


def _plan(b: Builder, statements: int) -> list[Step]:
    """Whole game days as far as they fit, thin ones for the other games, and noise between."""
    rng = b.rng
    noise = round(statements * rng.choice((0.15, 0.3, 0.5, 1.0)))
    room = statements - noise
    steps: list[Step] = []
    for game in [b.focus, *(game for game in b.tables.games if game != b.focus)]:
        whole = game_day(b, game, rng.choice((1.0, 0.95)) if room > 20 else 0.15)
        cut = room - len(steps)
        steps += whole if len(whole) <= cut else rng.sample(whole, max(0, cut))
    for _ in range(noise):
        game = rng.choice(b.tables.games)
        steps.append((game.kickoff + rng.randint(-60, 120) * MINUTE, lambda: random_step(b)))
    for _ in range(rng.choice((0, 0, 0, 0, 1, 2))):
        game = rng.choice(b.tables.games)
        steps.append((game.kickoff + rng.randint(30, 300) * MINUTE, lambda: season_close(b)))
    if len(b.chains) > 1:
        for _ in range(statements // 12):
            game = rng.choice(b.tables.games)
            steps.append((game.kickoff + rng.randint(-30, 60) * MINUTE, lambda: again(b)))
    for _ in b.tables.late_rows:
        steps.append((rng.choice(b.tables.games).kickoff, b.load_late_row))
    if rng.random() < 0.6:
        steps += all_trained(b)
    slack = rng.choice((0, 0, 5, 60)) * MINUTE  # written down out of order
    return sorted(steps, key=lambda step: step[0] + rng.randint(0, slack))


def seasons(most: int = MOST) -> st.SearchStrategy[list[Event]]:
    """Seasons of up to `most` statements."""
    return st.builds(random_season, st.integers(0, 2**32 - 1), st.integers(FEWEST, most))


def as_of_moments(events: Sequence[Event]) -> list[str]:
    """Just before anything was entered, and each `entered`: between two of them nothing changes."""
    return _moments([event["entered"] for event in events if "entered" in event])


def known_at_moments(events: Sequence[Event]) -> list[str]:
    return _moments([event["recorded"] for event in events])


def _moments(texts: list[str]) -> list[str]:
    rising = sorted(set(texts))
    return [utc(milliseconds(text) - 1) for text in rising[:1]] + rising
