"""A season in which every text is hostile, with one case: a protest about No. 7 of a team of forty.

Names of forty letters and more, markup, letters that run from right to left, emoji, quotation
marks, a remark of two thousand letters. All of it is invented. Beside that: a mark that was
withdrawn, counts of two officials that differ, a list that changed after it was signed, a file.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from ledger.store.sqlite.store import SqliteStore
from tests.papers.samples import EMOJI, HOSTILE, NO_FONT, OTHER_SCRIPTS, RIGHT_TO_LEFT
from tests.review.cases_of import opens, season
from tests.tiny import says

CASE, GAME = "Long.case-id_" + "x" * 51, "g1"
ASKED, NAME = "a7", "A7 " + "Überlangername-" * 3 + "Erfundenová 60"
MARKUP = HOSTILE[0]
LONG = "A remark that does not end. " * 72
NAMES = (*HOSTILE, *RIGHT_TO_LEFT, *OTHER_SCRIPTS, EMOJI, NO_FONT)
OTHERS = tuple(
    f"{number} {NAMES[number % len(NAMES)]} {'x' * 60}"[:60] for number in range(40) if number != 7
)
TEAM = "<td>Ash & “Trees” " + "W" * 43
OFFICIALS = (
    ("wa", f"Ana {MARKUP}", "weighmaster", "ash"),
    ("wa", f"Ana {MARKUP}", "coach", "ash"),
    ("we", f"{RIGHT_TO_LEFT[0]} Larkspur", "weighmaster", "elm"),
    ("ce", "C" * 60, "coach", "elm"),
    ("pc", EMOJI, "play_counter", ""),
    ("so", "Ada 'Whinberry' --", "site_official", ""),
    ("ho", NO_FONT, "head_official", ""),
    ("dp", "Eve <i>Merriweather</i>", "division_president", ""),
    ("rg", "Kit Underbough", "registrar", ""),
)


def _table(*rows: Sequence[object]) -> str:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    return text.getvalue()


def _at(clock: str, kind: str, **cells: object) -> dict[str, str]:
    return says(kind, **({"at": f"2026-09-05T{clock}", "game": GAME, "team": "ash"} | cells))


def _said(clock: str, kind: str, **cells: object) -> dict[str, str]:
    return says(kind, **({"at": f"2026-09-07T{clock}", "case": CASE} | cells))


@contextmanager
def hostile_case(folder: Path) -> Iterator[SqliteStore]:
    """The ledger of it, for reading."""
    players = [(f"a{n}", "ash", n, OTHERS[n - (n > 7)]) for n in range(40) if n != 7]
    players += [(ASKED, "ash", 7, NAME), ("e1", "elm", 1, "Juno <u>Marrowby</u>")]
    lines = [
        *(_at("08:20", "list", number=n, reason="over", by="wa") for n in range(0, 40, 3)),
        _at("08:25", "station", team=None, reading="10", limit="100"),
        _at("08:30", "weigh", number=7, value="over", ref="slip", note=f"{MARKUP} {EMOJI}"),
        _at("08:31", "withdraw", target="slip", reason=f"wrong {MARKUP}", game=None, team=None),
        _at("08:32", "weigh", number=7, value="ok"),
        _at("08:33", "concern", number=7, reason="helmet", note=RIGHT_TO_LEFT[1]),
        _at("08:50", "countersign", by="wa"),
        _at("08:51", "countersign", by="we"),
        _at("08:55", "list", number=7, reason="equipment", by="we"),
        _at("11:00", "plays", number=7, half=1, count=3, by="pc"),
        _at("11:01", "plays", number=7, half=1, count=9, by="we"),
        _at("12:00", "half", half=2, team=None, by="ho"),
        opens(CASE, "protest", at="2026-09-07T08:00", by="ce", player=ASKED, note=LONG),
        *(_said(f"09:{n:02d}", "case_statement", by="so", note=f"{n} {MARKUP}") for n in range(6)),
        _said("09:30", "case_exhibit", by="wa", value="0" * 64, note=RIGHT_TO_LEFT[0]),
        _said("09:40", "case_refer", by="so", to="division_president", note="A" * 300),
        _said("10:00", "ruling", by="dp", value="denied", note=LONG),
        _said("10:01", "ruling", by="wa", value="upheld", note=NO_FONT),
    ]
    texts = {
        "teams": _table(
            ("team", "association", "division", "name"),
            ("ash", "grove", "d1", TEAM),
            ("elm", "", "d1", f"{EMOJI} Elm {RIGHT_TO_LEFT[0]}"),
        ),
        "players": _table(("player", "team", "number", "name"), *players),
        "officials": _table(("official", "name", "role", "team"), *OFFICIALS),
        "games": _table(
            ("game", "division", "kickoff", "site", "home", "visitor"),
            (GAME, "d1", "2026-09-05T10:00", f"Green {MARKUP}", "ash", "elm"),
        ),
    }
    with season(folder, *lines, **texts) as store:
        yield store
