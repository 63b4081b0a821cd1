"""weighbook help: the season folder, and any command."""

from __future__ import annotations

import pytest

from tests.commands.conftest import Run


def test_the_season_folder(run: Run) -> None:
    ran = run("help", "season-folder")
    assert (ran.status, ran.err) == (0, "")
    assert ran.out.startswith("A season folder is what the registrar keeps.")
    assert "\nplayers.csv\n-----------\n  player: id; needed. Example: " in ran.out
    assert "Example: game acorn-1a, team newts, number 12, value ok\n" in ran.out


@pytest.mark.parametrize("path", [(), ("load",), ("case", "open"), ("record", "weigh")])
def test_help_on_a_command_is_its_own(run: Run, path: tuple[str, ...]) -> None:
    told = run("help", *path).out
    assert told.startswith(run(*path, "--help").out)
    assert told.endswith("weighbook help season-folder\n") == (path == ())


def test_no_such_topic_says_what_is_close(run: Run) -> None:
    for asked, meant in (("seasonfolder", "season-folder"), ("lode", "load")):
        ran = run("help", asked)
        assert (ran.status, ran.out) == (2, "")
        assert f"No help on '{asked}'. Did you mean {meant}?" in ran.err
    assert "No help on 'record weight'. Did you mean weigh?" in run("help", "record", "weight").err
    assert "No help on 'load more'." in run("help", "load", "more").err
