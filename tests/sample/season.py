"""The whole season: every Saturday's games, and the office in between, as files of lines."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable

from tests.sample import october, september
from tests.sample.office import after_week, training_sheet
from tests.sample.saturday import Game
from tests.sample.schedule import Fixture, fixtures
from tests.sample.sheet import Line
from tests.sample.world import World

# Read after the days, so that its lines come last in the ledger, whenever they were written.
TRAINING = "training.csv"

Story = Callable[[World, Fixture], Game]


def _story(fixture: Fixture) -> Story:
    name = fixture.id.replace("-", "_")
    for chapter in (september, october):
        if hasattr(chapter, name):
            story: Story = getattr(chapter, name)
            return story
    return Game


def day_files() -> dict[str, list[Line]]:
    """Lines by day file: the day of the game, or the day the office wrote; games in blocks.

    The training sheet is a file of its own.
    """
    world = World()
    files: dict[str, list[Line]] = defaultdict(list)
    games = fixtures()
    for week in sorted({fixture.week for fixture in games}):
        for fixture in (fixture for fixture in games if fixture.week == week):
            game = _story(fixture)(world, fixture)
            world.remember(game.fixture, game.lines)
            files[f"{fixture.kickoff:%Y-%m-%d}.csv"] += game.ordered()
        for line in after_week(world, week).ordered():
            files[f"{line.written:%Y-%m-%d}.csv"].append(line)
    return {**files, TRAINING: training_sheet()}
