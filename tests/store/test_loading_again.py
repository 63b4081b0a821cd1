"""Loading again: what is new is added, what changed or vanished is refused (section 1)."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from ledger.errors import Fault, FolderError
from ledger.record.accepted import Accepted
from ledger.record.league import read_league
from ledger.store.loading import LoadCount
from tests.tiny import LEAGUE, TEXTS, day, events_in, load, says

Folder = Callable[..., Path]
LINES = [
    says("list", game="g1", team="ash", number=2, reason="absent", note="a cold"),
    says("weigh", game="g1", team="ash", name="Bo Yarrow", number=7, value="ok"),
    says("enter_player", player="b9", name="Kit Fallowell", by="rg"),
    says("scale_out", game="g1", reason="the beam broke", by="so", ref="broke"),
    says("withdraw", target="broke", reason="it did not", by="so"),
    says("station", game="g1", reading="10.05", limit="100"),
    says("concern", game="g1", team="ash", player="a1", reason="helmet"),
]
INSTEAD = "the line as it was loaded. To take it back: weighbook record withdraw --target office:"
SEASON = "the row as loaded. To correct it: weighbook load FOLDER --correct --by WHO --reason TEXT"
WRONG = "If it was always wrong: weighbook load FOLDER --correct --by WHO --reason TEXT"
MOVED = f"If the game is moved: weighbook record game_change. {WRONG}"
COMMANDS = {
    "number": f"If it changes from a day on: weighbook record number_change. {WRONG}",
    "team": "A player leaves a team by weighbook record roster_drop, and joins one by weighbook "
    "record roster_add",
    "site": f"the site as loaded. {MOVED}",
    "kickoff": f"the kickoff as loaded. {MOVED}",
    "home": "the home team as loaded. For another game: weighbook record game_off, then a new row",
}


@pytest.fixture
def ledger(folder: Folder, tmp_path: Path) -> Path:
    """A ledger that holds LINES as days/01.csv."""
    path = tmp_path / "season.weighbook"
    load(path, folder(day=day(*LINES)))
    return path


def faults(path: Path, season: Path) -> list[str]:
    """Why the folder is not loaded; the ledger's file keeps every byte."""
    before = path.read_bytes()
    with pytest.raises(FolderError) as caught:
        load(path, season)
    assert path.read_bytes() == before
    assert not list(path.parent.glob(f"{path.name}-*"))
    return [str(fault) for fault in caught.value.faults]


def test_the_same_folder_adds_nothing(ledger: Path, folder: Folder) -> None:
    before = ledger.read_bytes()
    assert load(ledger, folder(day=day(*LINES))) == LoadCount(0, 0, 19, 7)
    assert load(ledger, folder(day=day(*LINES)), chain="tablet") == LoadCount(0, 0, 19, 7)
    assert ledger.read_bytes() == before


def test_what_says_the_same_is_the_same(ledger: Path, folder: Folder) -> None:
    """Blank lines, columns in another order, times and pounds written in another way."""
    lines = [{key: line[key] for key in reversed(line)} for line in LINES]
    lines[0] = lines[0] | {"at": "2026-09-05 13:40:00.0009Z", "entered": "2026-09-05T08:40"}
    lines[5] = lines[5] | {"reading": "10.05", "limit": "100.00"}
    text = "\n" + day(*lines).replace("\r\n", "\n\n") + ",,\n"
    same = folder(day=text, league=f"# a remark\n{LEAGUE}[weigh_in]\nattempts = 1\n")
    assert load(ledger, same).lines_added == 0


def test_new_lines_and_new_files_are_added(ledger: Path, folder: Folder) -> None:
    more = says("weigh", game="g1", team="ash", number=1, value="ok")
    days = {"01.csv": day(*LINES, more), "00.csv": day(more), "02.csv": day(more, more)}
    assert load(ledger, folder(days=days)) == LoadCount(0, 4, 19, 11)
    sources = [e.data["source"] for e in events_in(ledger) if "source" in e.data][7:]
    assert [(source["file"][5:], source["record"]) for source in sources] == [
        ("00.csv", 1),
        ("01.csv", 8),
        ("02.csv", 1),
        ("02.csv", 2),
    ]
    assert load(ledger, folder(days=days)).lines_added == 0


CHANGES: list[tuple[int, Mapping[str, object], str]] = [
    (
        0,
        {"at": "2026-09-05T08:41"},
        "at: found '2026-09-05 08:41-05:00', but '2026-09-05 08:40-05:00'",
    ),
    (0, {"entered": "2026-09-05T09:40"}, "entered: found '2026-09-05 09:40-05:00'"),
    (0, {"by": "wa"}, "by: found 'wa', but 'we' was loaded"),
    (0, {"kind": "strike_off"}, "kind: found 'strike_off', but 'list' was loaded"),
    (0, {"game": "g2"}, "game: found 'g2', but 'g1' was loaded"),
    (0, {"team": "elm"}, "team: found 'elm', but 'ash' was loaded"),
    (0, {"number": "1"}, "number: found 1, but 2 was loaded"),
    (0, {"number": "", "player": "a2"}, "number: found nothing, but 2 was loaded"),
    (0, {"reason": "over"}, "reason: found 'over', but 'absent' was loaded"),
    (0, {"note": "a cough"}, "note: found 'a cough', but 'a cold' was loaded"),
    (0, {"note": ""}, "note: found nothing, but 'a cold' was loaded"),
    (0, {"ref": "x"}, "ref: found 'x', but nothing was loaded"),
    (1, {"name": "Bo Yarow"}, "name: found 'Bo Yarow', but 'Bo Yarrow' was loaded"),
    (1, {"note": "late"}, "note: found 'late', but nothing was loaded"),
    (1, {"number": "8"}, "number: found 8, but 7 was loaded"),
    (1, {"name": "", "number": "1"}, "name: found nothing, but 'Bo Yarrow' was loaded"),
    (2, {"player": "b8"}, "player: found 'b8', but 'b9' was loaded"),
    (2, {"team": "ash", "number": "9"}, "number: found 9, but nothing was loaded"),
    (3, {"reason": "it fell"}, "reason: found 'it fell', but 'the beam broke' was loaded"),
    (4, {"target": "office:22"}, "target: found 'office:22', but 'office:24' was loaded"),
    (5, {"reading": "9.98"}, "reading: found 9.98, but 10.05 was loaded"),
    (5, {"limit": "100.5"}, "limit: found 100.50, but 100.00 was loaded"),
    (6, {"player": ""}, "player: found nothing, but 'a1' was loaded"),
]


@pytest.mark.parametrize(("index", "change", "told"), CHANGES, ids=lambda value: str(value)[:30])
def test_a_line_that_changed_is_refused(
    ledger: Path, folder: Folder, index: int, change: Mapping[str, str], told: str
) -> None:
    lines = [dict(line) for line in LINES]
    lines[index] = {key: text for key, text in (lines[index] | dict(change)).items() if text}
    (fault,) = faults(ledger, folder(day=day(*lines)))
    assert fault.startswith(f"days/01.csv, line {index + 2}, {told}")
    before, _, event_id = fault.rpartition(INSTEAD)
    assert before.endswith("; expected ")
    assert event_id.isdecimal()


def test_a_number_filled_in_after_loading_names_the_command(tmp_path: Path, folder: Folder) -> None:
    path = tmp_path / "numbers.weighbook"
    line = says("roster_add", team="ash", player="u1", by="rg")
    load(path, folder(day=day(line)))
    (fault,) = faults(path, folder(day=day(line | {"number": "7"})))
    assert "number: found 7, but nothing was loaded; expected the line as it was loaded" in fault
    assert "loaded. For another number: weighbook record number_change. To take it back:" in fault


def test_a_target_written_as_the_id_it_was_is_no_change(ledger: Path, folder: Folder) -> None:
    lines = [*LINES[:4], LINES[4] | {"target": "office:24"}, *LINES[5:]]
    assert load(ledger, folder(day=day(*lines))).lines_added == 0


def test_lines_that_vanished_are_refused(ledger: Path, folder: Folder) -> None:
    told = faults(ledger, folder(day=day(*LINES[:5])))
    found = "days/01.csv: found no record 6, which was loaded before"
    assert told == [f"{found}; expected the lines loaded before, then new ones"]


def test_lines_in_another_order_are_changed_lines(ledger: Path, folder: Folder) -> None:
    told = faults(ledger, folder(day=day(LINES[1], LINES[0], *LINES[2:])))
    assert [fault.split(", ")[1] for fault in told] == ["line 2", "line 3"]


GONE = "found no line where strike_off of g1 ash 2, 2026-09-05 08:42-05:00, was loaded"
BETWEEN = "found a line between those loaded before; expected new lines only after those"
MORNING = [
    *LINES[:3],
    says("strike_off", game="g1", team="ash", number=2, at="2026-09-05T08:42"),
    *LINES[3:],
]


@pytest.mark.parametrize("more", [[], [says("close", game="g1", team="ash")] * 2])
def test_one_line_taken_out_is_one_fault(
    folder: Folder, tmp_path: Path, more: list[dict[str, str]]
) -> None:
    """All that follow have moved; new lines at the end change nothing in that."""
    path = tmp_path / "season.weighbook"
    load(path, folder(day=day(*MORNING)))
    (fault,) = faults(path, folder(day=day(*LINES, *more)))
    right = "that line before this one; to withdraw a mistake, add a line at the end"
    assert fault == f"days/01.csv, line 5: {GONE}; expected {right}"


@pytest.mark.parametrize("more", [[], [says("close", game="g1", team="oak")]])
def test_one_line_put_in_between_is_one_fault(
    ledger: Path, folder: Folder, more: list[dict[str, str]]
) -> None:
    (fault,) = faults(ledger, folder(day=day(*MORNING, *more)))
    assert fault.startswith(f"days/01.csv, line 5: {BETWEEN}")


def test_near_the_end_too(ledger: Path, folder: Folder) -> None:
    (fault,) = faults(ledger, folder(day=day(*LINES[:4], *LINES[5:])))
    assert fault.startswith("days/01.csv, line 6: found no line where withdraw, 2026-09-05 08:40-")
    (fault,) = faults(ledger, folder(day=day(*LINES[:5], LINES[0], *LINES[5:])))
    assert fault.startswith(f"days/01.csv, line 7: {BETWEEN}")
    told = faults(ledger, folder(day=day(*LINES[:5], LINES[6])))  # too near to be sure
    assert [fault.split(":")[0] for fault in told] == ["days/01.csv", "days/01.csv, line 7, kind"]
    told = faults(ledger, folder(day=day(*LINES[:5], LINES[6], LINES[5])))  # two in turn
    assert [fault.split(", ")[1] for fault in told] == ["line 7", "line 8"]


@pytest.mark.parametrize("name", ["01 (1).csv", "00.csv", "02.csv"])
@pytest.mark.parametrize("lines", [LINES, LINES[:4]])
def test_a_copy_of_a_day_file_is_refused(
    ledger: Path, folder: Folder, name: str, lines: list[dict[str, str]]
) -> None:
    """It would say the whole morning a second time; also as the file was before."""
    told = faults(ledger, folder(days={"01.csv": day(*LINES), name: day(*lines)}))
    found = "found the same lines as in days/01.csv"
    right = f"each line in only one file: remove days/{name}"
    assert told == [f"days/{name}, line 2: {found}; expected {right}"]


def test_a_day_file_downloaded_again_with_more_lines(ledger: Path, folder: Folder) -> None:
    """What is advised can be done, either way: what was loaded keeps its place."""
    longer = [*LINES, says("close", game="g1", team="ash")]
    (told,) = faults(ledger, folder(days={"01.csv": day(*LINES), "01 (1).csv": day(*longer)}))
    assert told == (
        "days/01 (1).csv, line 2: found the same lines as in days/01.csv; expected each line in "
        "only one file: move its new lines to the end of days/01.csv, or replace days/01.csv with "
        "this file"
    )
    assert load(ledger, folder(days={"01.csv": day(*longer)})) == LoadCount(0, 1, 19, 8)


def test_of_two_new_files_the_longer_name_is_the_copy(folder: Folder, tmp_path: Path) -> None:
    lines = day(*[line for line in LINES if line["kind"] in ("list", "station")] * 2)
    with pytest.raises(FolderError) as caught:
        load(tmp_path / "x.weighbook", folder(days={"5 (1).csv": lines, "5.csv": lines}))
    (fault,) = caught.value.faults
    assert (fault.file, fault.right) == (
        "days/5 (1).csv",
        "each line in only one file: remove days/5 (1).csv",
    )


def test_of_two_new_files_the_one_with_more_lines_is_kept(folder: Folder, tmp_path: Path) -> None:
    days = {"5 (1).csv": day(*LINES), "5.csv": day(*LINES[:4])}
    with pytest.raises(FolderError) as caught:
        load(tmp_path / "x.weighbook", folder(days=days))
    assert "remove days/5.csv" in [fault.right[28:] for fault in caught.value.faults]


def test_a_few_lines_stated_twice_are_facts(ledger: Path, folder: Folder) -> None:
    again = folder(days={"01.csv": day(*LINES), "02.csv": day(*LINES[:2])})
    assert load(ledger, again) == LoadCount(0, 2, 19, 9)


@pytest.mark.parametrize("text", [None, "", "at,kind,by\n"])
def test_a_file_that_vanished_or_was_emptied_is_refused(
    ledger: Path, folder: Folder, text: str | None
) -> None:
    (told,) = faults(ledger, folder(day=text))
    found = "no such file" if text is None else "no record 1, which was loaded before"
    assert told.startswith(f"days/01.csv: found {found}; expected ")


def test_a_file_with_another_name_is_another_file(ledger: Path, folder: Folder) -> None:
    told = faults(ledger, folder(days={"1.csv": day(LINES[0])}))
    assert told == ["days/01.csv: found no such file; expected the file as it was loaded before"]


def with_row(table: str, row: str) -> dict[str, str]:
    return {table: f"{TEXTS[table]}{row}\n"}


@pytest.mark.parametrize(
    ("table", "row"),
    [
        ("divisions", "d2,Two,90"),
        ("teams", "oak,,d1,Oak Trees"),
        ("players", "b1,ash,3,Bo Yarrow"),
        ("officials", "we,Ivo Larkspur,registrar,"),
        ("games", "g3,d1,2026-09-19T10:00,,ash,elm"),
    ],
)
def test_tables_may_gain_rows(ledger: Path, folder: Folder, table: str, row: str) -> None:
    more = with_row(table, row)
    assert load(ledger, folder(day=day(*LINES), **more)) == LoadCount(1, 0, 20, 7)
    assert load(ledger, folder(day=day(*LINES), **more)) == LoadCount(0, 0, 20, 7)
    assert events_in(ledger)[-1].kind == table.removesuffix("s")


def test_a_new_row_counts_for_the_lines_loaded_with_it(ledger: Path, folder: Folder) -> None:
    line = says("weigh", game="g1", team="ash", number=3, value="ok")
    path = folder(day=day(*LINES, line), **with_row("players", "b1,ash,3,Bo Yarrow"))
    load(ledger, path)
    assert events_in(ledger)[-1].player == "b1"


@pytest.mark.parametrize(
    ("table", "old", "new", "told"),
    [
        ("divisions", "100", "95.5", "line 2, carrier_limit_lb: found 95.50, but 100.00 was lo"),
        ("teams", "Ash Trees", "Ash", "line 2, name: found 'Ash', but 'Ash Trees' was loaded"),
        ("teams", "grove", "", "line 2, association: found nothing, but 'grove' was loaded"),
        ("players", "a1,ash,1", "a1,ash,11", "line 2, number: found 11, but 1 was loaded"),
        ("players", "a1,ash,1", "a1,elm,11", "line 2, team: found 'elm', but 'ash' was loaded"),
        ("players", "Pip", "Pipp", "line 2, name: found 'Pipp Quillfeather', but 'Pip Quillf"),
        ("players", "u1,,", "u1,ash,5", "line 6, team: found 'ash', but nothing was loaded"),
        ("officials", "Ivo", "Ivar", "line 3, name: found 'Ivar Larkspur', but 'Ivo Larkspur'"),
        ("games", "Green", "Park", "line 2, site: found 'Park', but 'Green' was loaded"),
        ("games", "05T10:00", "05T10:30", "line 2, kickoff: found '2026-09-05 10:30-05:00'"),
        ("games", "Green,ash,elm", "Green,elm,ash", "line 2, home: found 'elm', but 'ash' was"),
    ],
)
def test_a_row_that_changed_is_refused(
    ledger: Path, folder: Folder, table: str, old: str, new: str, told: str
) -> None:
    """Each refusal names the command that does it."""
    text = TEXTS[table].replace(old, new)
    (fault,) = faults(ledger, folder(day=day(*LINES), **{table: text}))
    assert fault.startswith(f"{table}.csv, {told}")
    column = told.partition(": ")[0].rpartition(" ")[2]
    assert fault.endswith(COMMANDS.get(column, f"; expected {SEASON}"))


def test_rows_may_stand_in_another_order(ledger: Path, folder: Folder) -> None:
    turned = {
        table: "\n".join([text.splitlines()[0], *reversed(text.splitlines()[1:])])
        for table, text in TEXTS.items()
        if table != "league"
    }
    assert load(ledger, folder(day=day(*LINES), **turned)) == LoadCount(0, 0, 19, 7)


@pytest.mark.parametrize(
    ("table", "row", "told"),
    [
        (
            "players",
            "u1,,,Wren Saltmarsh\n",
            "row for u1; expected every row loaded before. Put the row back. To",
        ),
        (
            "officials",
            "rg,Kit Underbough,registrar,\n",
            "row for rg registrar; expected every",
        ),
        ("games", "g2,d1,2026-09-12T10:00,,ash,elm\n", "row for g2; expected every row loaded bef"),
    ],
)
def test_a_row_that_vanished_is_refused(
    ledger: Path, folder: Folder, table: str, row: str, told: str
) -> None:
    assert row in TEXTS[table]
    text = TEXTS[table].replace(row, "")
    first = faults(ledger, folder(day=day(*LINES), **{table: text}))[0]
    assert first.startswith(f"{table}.csv: found no {told}")
    kinds = ("roster_drop", "appoint", "game_off")
    assert any(f"weighbook record {kind}" in first for kind in kinds)


@pytest.mark.parametrize(
    ("league", "told"),
    [
        (LEAGUE.replace("Invented", "Other"), "name: found 'Other League', but 'Invented League'"),
        (LEAGUE + "[weigh_in]\nattempts = 2\n", "weigh_in.attempts: found 2, but 1"),
        (
            LEAGUE + "[weigh_in]\ncheck_weight_lb = 12.5\n",
            "weigh_in.check_weight_lb: found 12.50, but 10.00",
        ),
        (LEAGUE + "[plays]\nminimum = 8\n", "plays.minimum: found 8, but 10"),
    ],
)
def test_a_league_that_changed_is_refused(
    ledger: Path, folder: Folder, league: str, told: str
) -> None:
    (fault,) = faults(ledger, folder(day=day(*LINES), league=league))
    assert fault == f"league.toml, {told} was loaded; expected {SEASON}"


LONG = says("initial", game="g1", team="ash", number=1, value="ok", initials="Larkspur")
AGO = says("close", game="g1", team="ash", at="1999-12-31T23:59")
OLD_GAME = with_row("games", "g0,d1,1998-09-05T10:00,,ash,elm")


def test_limits_that_came_later_hold_for_new_lines_only(
    folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Initials of 8 letters and old years, in a ledger from before there was a limit."""
    path = tmp_path / "season.weighbook"
    with monkeypatch.context() as before:
        for reads in ("folder", "tables"):
            before.setattr(f"ledger.record.{reads}.limit_faults", lambda cells, place: [])
        load(path, folder(day=day(LONG, AGO), **OLD_GAME))
    assert load(path, folder(day=day(LONG, AGO), **OLD_GAME)) == LoadCount(0, 0, 20, 2)
    told = faults(path, folder(day=day(LONG, AGO, AGO, LONG), **OLD_GAME))
    assert told == [
        "days/01.csv, line 4, at: found '1999-12-31T23:59'; expected a year from 2000 to 2099",
        (
            "days/01.csv, line 5, initials: found 'Larkspur'; "
            "expected initials of at most 6 characters"
        ),
    ]


def test_a_league_key_that_an_older_row_lacks_has_its_default(
    folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A ledger from before there was training and a card: the same folder adds nothing."""

    def older(text: str) -> tuple[Accepted | None, list[Fault]]:
        league, found = read_league(text)
        assert league is not None
        del league.data["card"], league.data["weigh_in"]["training_valid_days"]
        return league, found

    path = tmp_path / "season.weighbook"
    with monkeypatch.context() as before:
        before.setattr("ledger.record.folder.read_league", older)
        load(path, folder(day=day(*LINES)))
    assert load(path, folder(day=day(*LINES))) == LoadCount(0, 0, 19, 7)
    asks = LEAGUE + "[weigh_in]\ntraining_valid_days = 365\n[card]\ngear = ['Helmet']\n"
    (told,) = faults(path, folder(day=day(*LINES), league=asks))
    assert told.startswith("league.toml, card.gear: found ['Helmet'], but [] was loaded")


@pytest.mark.parametrize(("was", "now"), [("", "Pip Quillfeather"), ("Pip Quillfeather", "")])
def test_a_name_put_in_or_taken_out_is_a_changed_row(
    folder: Folder, tmp_path: Path, was: str, now: str
) -> None:
    path = tmp_path / "season.weighbook"
    blank = TEXTS["players"].replace("Pip Quillfeather", "{}")
    load(path, folder(players=blank.format(was)))
    assert load(path, folder(players=blank.format(was))).rows_added == 0
    (told,) = faults(path, folder(players=blank.format(now)))
    found, before = (f"'{text}'" if text else "nothing" for text in (now, was))
    assert told.startswith(f"players.csv, line 2, name: found {found}, but {before} was loaded")


def test_a_child_who_was_entered_is_no_new_row(ledger: Path, folder: Folder) -> None:
    (fault,) = faults(ledger, folder(day=day(*LINES), **with_row("players", "b9,,,Kit Fallowell")))
    assert fault == (
        "players.csv, line 7, player: found 'b9', already entered by enter_player; expected "
        "a new id"
    )


def test_an_appointed_official_may_gain_rows(ledger: Path, folder: Folder) -> None:
    appoint = says("appoint", value="bo", to="registrar", name="Bo Yarrow", by="dp")
    lines = day(*LINES, appoint)
    load(ledger, folder(day=lines))
    more = with_row("officials", "bo,Bo Yarrow,board_member,")
    assert load(ledger, folder(day=lines, **more)).rows_added == 1


def erase(path: Path, condition: str) -> int:
    """Delete disclosures by hand, as an erasure does."""
    with sqlite3.connect(path) as connection:
        count = connection.execute(f"delete from disclosure where {condition}").rowcount
    connection.close()
    return count


@pytest.mark.parametrize("condition", ["field = 'name'", "field = 'note'", "field = 'reason'", "1"])
def test_what_was_erased_stays_erased(ledger: Path, folder: Folder, condition: str) -> None:
    """Nothing comes back, and nothing is refused, though the folder still says it."""
    assert erase(ledger, condition) > 0
    before = ledger.read_bytes()
    assert load(ledger, folder(day=day(*LINES))) == LoadCount(0, 0, 19, 7)
    assert ledger.read_bytes() == before
    without = [{k: v for k, v in line.items() if k != "note"} for line in LINES]
    if condition in ("field = 'note'", "1"):
        assert load(ledger, folder(day=day(*without))) == LoadCount(0, 0, 19, 7)
    more = says("close", game="g1", team="ash", note="a new note")
    assert load(ledger, folder(day=day(*LINES, more))).lines_added == 1


def test_what_else_changed_beside_something_erased_is_refused(ledger: Path, folder: Folder) -> None:
    erase(ledger, "1")
    lines = [LINES[0] | {"reason": "over"}, *LINES[1:]]
    (fault,) = faults(ledger, folder(day=day(*lines)))
    assert "reason: found 'over'" in fault


def test_a_load_that_fails_leaves_the_ledger_as_it_is(ledger: Path, folder: Folder) -> None:
    """Faults of reading, of acceptance, and of the lines loaded before; good lines beside them."""
    good = says("close", game="g1", team="ash")
    for bad in (says("close", game="g1"), says("close", game="g1", team="oak")):
        assert len(faults(ledger, folder(day=day(*LINES, good, bad, good)))) == 1
    assert len(faults(ledger, folder(day=day(good)))) == 2
