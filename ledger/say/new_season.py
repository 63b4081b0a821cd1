"""The files of a new season folder: league.toml with remarks, README.txt, the tables."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.errors import count_of
from ledger.record.league import FILE as LEAGUE_FILE
from ledger.record.new_season import NewSeason
from ledger.say.lines import paragraph
from ledger.say.season_folder import FILES
from ledger.say.settings import OF_SECTIONS, Setting, sections, toml_text

README, TO_SETTLE = "README.txt", "to_settle.txt"
_HEAD = """\
# The rules of this league, this season. Every setting has its default here.
# Change a value to your league's rule, or leave it as it is.
"""
_ABOUT = (
    "This is a season folder: plain files that the registrar keeps. Edit the tables in a "
    "spreadsheet program or a text editor, and save them as CSV."
)
_NEXT = (
    "Fill in officials.csv and games.csv. Then load the folder, and load it again whenever it "
    "has grown:"
)
_HELP = "Every column and setting, with examples: weighbook help season-folder"
_POINT = "- "
_SETTLE = (
    "These rows of the spreadsheet were not taken as they stand. Settle them before you load the "
    "folder, then delete this file. It holds names."
)


def folder_texts(season: NewSeason, to_settle: Sequence[str] = ()) -> dict[str, str]:
    """The text of every file of the folder, by name."""
    texts = {LEAGUE_FILE: league_text(season), **season.tables(), README: _readme()}
    if to_settle:
        lines = [paragraph(f"{_POINT}{line}", hang=2) for line in to_settle]
        texts[TO_SETTLE] = "\n".join([paragraph(_SETTLE), "", *lines]) + "\n"
    return texts


def points_in(text: str) -> int:
    """How many points a list of what to settle has left: people take out what they settled."""
    return sum(line.startswith(_POINT) for line in text.splitlines())


def still_to_settle(file: str, points: int) -> str:
    """What to do about that list before the folder is loaded."""
    if not points:
        return f"{file} lists nothing to settle any more. Delete it: it may hold names."
    settle = "Settle each in the tables, take it off the list, and delete the file at the end"
    return f"{file} lists {count_of(points, 'point')} to settle. {settle}: it holds names."


def league_text(season: NewSeason) -> str:
    """A league.toml with every setting, what it means, and its default."""
    given = {"name": season.league, "season": season.season, "time_zone": season.time_zone}
    lines = [_HEAD.rstrip()]
    for section, settings in sections().items():
        lines.append("")
        if section in OF_SECTIONS:
            lines.append(f"# {OF_SECTIONS[section]}")
        lines.append(f"[{section}]")
        for one in settings:
            lines += _setting(one, given if section == "league" else {})
    return "\n".join(lines) + "\n"


def _setting(one: Setting, given: dict[str, str]) -> list[str]:
    if one.key in given:
        return [f"{one.key} = {toml_text(given[one.key])}"]
    means = one.means.replace("`", "")
    lines = [f"# {line}" for line in paragraph(f"{means} ({one.holds})").splitlines()]
    if not one.default:
        return [*lines, f"# {one.key} = {one.example}"]
    if one.example != one.default:
        lines.append(f"# Such as: {one.example}")
    return [*lines, f"{one.key} = {one.default}"]


def _readme() -> str:
    wide = max(map(len, FILES))
    files = [f"  {name:<{wide}}  {holds}" for name, holds in FILES.items()]
    parts = [paragraph(_ABOUT), "\n".join(files), paragraph(_NEXT), "  weighbook load FOLDER"]
    return "\n\n".join([*parts, _HELP]) + "\n"
