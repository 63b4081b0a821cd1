"""A tiny season folder from short texts, and the ledger it makes.

The set-up is that of `tests.short_season`: division d1 with a limit of 100 lb; teams ash and elm;
a1 and a2 (numbers 1, 2) on ash, e1 and e2 on elm, u1 on no roster; games g1 (5 September 2026,
10:00 in Chicago) and g2 (12 September), ash at home; officials wa, we (weighmasters), ca (coach of
ash), pc, so, ap, dp, rg.

    folder(day=day(says("weigh", game="g1", team="ash", number=1, value="ok")))

writes it with one line. The texts of `league`, `divisions`, `teams`, `players`, `officials` and
`games` can be given in place of the usual ones; None leaves the file out. `days` gives day files
by name; `day` is days/01.csv.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from ledger.chain.event import Event
from ledger.errors import FolderError
from ledger.record.fields import COLUMNS
from ledger.record.folder import read_folder
from ledger.record.kinds import OWN, SETUP
from ledger.store.loading import LoadCount, load_folder
from ledger.store.opening import open_or_make, open_store
from ledger.store.sqlite.store import SqliteStore

LEAGUE = """\
[league]
name = "Invented League"
season = "2026"
time_zone = "America/Chicago"
"""
TEXTS: dict[str, str] = {
    "league": LEAGUE,
    "divisions": "division,name,carrier_limit_lb\nd1,One,100\n",
    "teams": "team,association,division,name\nash,grove,d1,Ash Trees\nelm,,d1,Elm Trees\n",
    "players": "player,team,number,name\n"
    "a1,ash,1,Pip Quillfeather\na2,ash,2,Ottla Bramblewick\n"
    "e1,elm,1,Juno Marrowby\ne2,elm,2,Teodor Fennimoor\nu1,,,Wren Saltmarsh\n",
    "officials": "official,name,role,team\n"
    "wa,Ana Thistlewood,weighmaster,ash\nwe,Ivo Larkspur,weighmaster,elm\n"
    "ca,Mo Harrowgate,coach,ash\npc,Lou Pennyroyal,play_counter,\nso,Ada Whinberry,site_official,\n"
    "ap,Per Hollowell,association_president,\ndp,Eve Merriweather,division_president,\n"
    "rg,Kit Underbough,registrar,\n",
    "games": "game,division,kickoff,site,home,visitor\n"
    "g1,d1,2026-09-05T10:00,Green,ash,elm\ng2,d1,2026-09-12T10:00,,ash,elm\n",
}
File = str | bytes | None


def says(kind: str, **cells: object) -> dict[str, str]:
    """The cells of one line, stated by `we` at 08:40 on 5 September; None leaves a cell empty."""
    given = {"at": "2026-09-05T08:40", "kind": kind, "by": "we"} | cells
    return {column: str(value) for column, value in given.items() if value is not None}


def day(*lines: Mapping[str, str]) -> str:
    """The text of a day file with these lines, as RFC 4180 has it."""
    text = io.StringIO()
    columns = [column for column in COLUMNS if any(column in line for line in lines)]
    writer = csv.DictWriter(text, columns, restval="")
    writer.writeheader()
    writer.writerows(lines)
    return text.getvalue()


def write_folder(
    path: Path, *, day: File = None, days: Mapping[str, File] | None = None, **files: File
) -> Path:
    """The folder at `path`, made anew or changed so that it holds these files."""
    unknown = files.keys() - TEXTS.keys()
    assert not unknown, f"no file of the folder: {unknown}"
    for name, text in (TEXTS | files).items():
        _put(path / f"{name}.{'toml' if name == 'league' else 'csv'}", text)
    for old in (path / "days").glob("*"):
        old.unlink()
    for name, text in ({"01.csv": day} | dict(days or {})).items():
        _put(path / "days" / name, text)
    return path


def load(path: Path, folder: Path, *, chain: str = "office") -> LoadCount:
    """Load the folder into the ledger at `path`, as `weighbook load` does."""
    contents = read_folder(folder)
    with open_or_make(path) as store, store.writing() as writing:
        return load_folder(writing, contents, chain=chain)


@contextmanager
def tiny_store(folder: Path, *, chain: str = "office") -> Iterator[SqliteStore]:
    """A new ledger that the folder makes, beside it, open."""
    path = folder.with_name("tiny.weighbook")
    path.unlink(missing_ok=True)
    load(path, folder, chain=chain)
    store = open_store(path)
    try:
        yield store
    finally:
        store.close()


def events_in(path: Path) -> list[Event]:
    """Every event of the ledger at `path`, in ledger order."""
    store = open_store(path)
    try:
        return [stored.event for stored in store.events()]
    finally:
        store.close()


def statements(store: SqliteStore) -> list[Event]:
    """The ledger's statements, in ledger order: no set-up, none of the ledger's own events."""
    events = (stored.event for stored in store.events())
    return [event for event in events if event.kind not in SETUP + OWN]


def loaded(folder: Path) -> list[Event]:
    """The statements that the folder's ledger holds."""
    with tiny_store(folder) as store:
        return statements(store)


def refused(folder: Path) -> list[str]:
    """The faults for which the folder is not loaded; nothing is left where the ledger would be."""
    path = folder.with_name("tiny.weighbook")
    path.unlink(missing_ok=True)
    try:
        load(path, folder)
    except FolderError as error:
        assert not list(folder.parent.glob("tiny.weighbook*"))
        return [str(fault) for fault in error.faults]
    raise AssertionError("the folder was loaded")


def disclosed(store: SqliteStore, event: Event) -> dict[str, str]:
    """The personal text of an event, by field."""
    from ledger.chain.disclosure import open_disclosure

    return {row.field: open_disclosure(row.text).value for row in store.disclosures([event.id])}


def body_texts(store: SqliteStore) -> str:
    """Every stored body, for looking for what must not be there."""
    return "\n".join(stored.body for stored in store.events())


def _put(path: Path, text: File) -> None:
    if text is None:
        path.unlink(missing_ok=True)
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
