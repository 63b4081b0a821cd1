"""The folder as a whole: day files in order, all or nothing, and messages that help."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import Fault, FolderError, InputError
from ledger.record.folder import count_lines, read_folder
from tests.conftest import SAMPLE
from tests.tiny import LEAGUE, day, loaded, refused, says, write_folder

Folder = Callable[..., Path]


def close(team: str, **more: object) -> dict[str, str]:
    return says("close", game="g1", team=team, **more)


def test_day_files_are_read_in_name_order_and_lines_in_file_order(folder: Folder) -> None:
    """By code point: digits, then upper case, then lower case. Other names are no day files."""
    days = {
        "b.csv": day(close("ash", at="2026-09-05T06:00")),
        "B.csv": day(close("elm")),
        "10.csv": day(close("ash"), close("elm", at="2026-09-04T10:00")),
        "9.csv": day(close("elm")),
        "notes.txt": "nothing of a day",
    }
    path = folder(days=days)
    assert read_folder(path).unread == ["days/notes.txt"]
    sources = [event.data["source"] for event in loaded(path)]
    assert [(source["file"], source["record"]) for source in sources] == [
        ("days/10.csv", 1),
        ("days/10.csv", 2),
        ("days/9.csv", 1),
        ("days/B.csv", 1),
        ("days/b.csv", 1),
    ]


def test_what_would_be_passed_over_by_its_name_is_refused(folder: Folder) -> None:
    """A morning under another name would be missing, and nobody would be told."""
    days = {"1.CSV": day(close("ash")), "2.xlsx": b"PK", "3.Ods": b"PK", ".hidden": ""}
    path = folder(days=days)
    (path / "Days").mkdir()
    assert [fault.partition(";")[0] for fault in refused(path)] == [
        "Days: found a folder name that is not read",
        "days/1.CSV: found a name that ends in '.CSV'",
        "days/2.xlsx: found a spreadsheet",
        "days/3.Ods: found a spreadsheet",
    ]


def test_a_spreadsheet_beside_its_csv_is_only_not_read(folder: Folder) -> None:
    path = folder(days={"1.csv": day(close("ash")), "1.xlsx": b"PK"})
    assert read_folder(path).unread == ["days/1.xlsx"]


def test_hidden_files_and_the_lock_of_an_open_spreadsheet_are_passed_over(folder: Folder) -> None:
    """Excel keeps such a file while it is open; it can be neither seen nor deleted."""
    locks = ["~$1.xlsx", "~$2.xlsx", ".hidden.xlsx", ".~lock.1.csv#", ".3.CSV", "._1.csv"]
    path = folder(days={"1.csv": day(close("ash")), **dict.fromkeys(locks, b"\x04Ada")})
    (path / "~$players.xlsx").touch()
    assert read_folder(path).unread == []
    assert len(loaded(path)) == 1


def test_tables_that_are_none_of_the_seasons_are_named_as_not_read(folder: Folder) -> None:
    path = folder()
    for name in ("2026-09-05.csv", "players.xlsx", "README.md"):
        (path / name).touch()
    assert read_folder(path).unread == ["2026-09-05.csv", "players.xlsx"]


def test_a_folder_that_is_no_season_is_one_fault(folder: Folder) -> None:
    season = folder()
    with pytest.raises(InputError, match=r"has no league\.toml and no tables$") as caught:
        read_folder(season.parent)
    assert caught.value.hint == f"Give a season folder, {season}."


def test_a_missing_days_is_nothing(folder: Folder) -> None:
    path = folder()
    assert not (path / "days").exists()
    assert loaded(path) == []
    assert count_lines(path) == 0


def test_empty_day_files_and_blank_lines_are_nothing(folder: Folder) -> None:
    days = {"1.csv": "", "2.csv": "at,kind,by\n", "3.csv": "\n\n" + day(close("ash")) + ",,,,\n\n"}
    assert len(loaded(folder(days=days))) == 1


def test_a_mark_at_the_start_of_any_file_is_accepted(folder: Folder) -> None:
    path = folder(day=day(close("ash")))
    for file in [*path.glob("*.*"), *path.glob("days/*")]:
        lines = file.read_bytes().splitlines()
        file.write_bytes(b"\xef\xbb\xbf" + b"\r\n".join(lines) + b"\r\n")
    assert len(loaded(path)) == 1


def test_entered_is_at_unless_given_and_in_any_order(folder: Folder) -> None:
    lines = [close("ash"), close("ash", entered="2026-09-01T00:00:00Z"), close("ash", entered="")]
    entered = [event.entered for event in loaded(folder(day=day(*lines)))]
    at = "2026-09-05T13:40:00.000Z"
    assert entered == [at, "2026-09-01T00:00:00.000Z", at]


def test_times_without_an_offset_are_in_the_leagues_zone(folder: Folder) -> None:
    path = folder(
        league=LEAGUE.replace("America/Chicago", "Asia/Kathmandu"),
        day=day(close("ash", at="2026-09-05T08:40"), close("ash", at="2026-09-05T08:40-05:00")),
    )
    assert [event.at for event in loaded(path)] == [
        "2026-09-05T02:55:00.000Z",
        "2026-09-05T13:40:00.000Z",
    ]


def test_a_skipped_local_time_asks_for_the_offset(folder: Folder) -> None:
    (fault,) = refused(folder(day=day(close("ash", at="2026-03-08T02:30"))))
    assert fault == (
        "days/01.csv, line 2, at: found '2026-03-08T02:30'; expected this local time with its "
        "offset: it does not exist in America/Chicago"
    )


def test_a_fault_names_the_first_line_of_its_record(folder: Folder) -> None:
    lines = [close("ash", note="one\ntwo\nthree"), close("oak", note="four\nfive")]
    (fault,) = refused(folder(day=day(*lines)))
    assert fault.startswith("days/01.csv, line 5, team: found 'oak'")


def test_what_was_found_is_of_bearable_length_and_on_one_line(folder: Folder) -> None:
    (fault,) = refused(folder(day=day(close("x" * 5000))))
    assert len(fault) < 250
    (fault,) = refused(folder(day=day(close("a\nb\x1b[31m\x7f"))))
    assert "found 'a\\nb\\x1b[31m\\x7f'; expected an id" in fault


def test_all_faults_come_in_one_go_and_the_first_fifty_are_shown(folder: Folder) -> None:
    lines = [close(f"t{number}") for number in range(60)]
    path = folder(day=day(*lines))
    assert len(refused(path)) == 60
    with pytest.raises(FolderError) as caught:
        loaded(path)
    shown = caught.value.message.splitlines()
    assert shown[0] == "60 faults; nothing was written:"
    assert shown[1].startswith("days/01.csv, line 2, team: found 't0'")
    assert shown[50].startswith("days/01.csv, line 51, team")
    assert shown[51:] == ["… and 10 more"]
    assert caught.value.hint == "Fix these, then run the same command again."
    assert caught.value.exit_status == 2


def test_a_file_that_cannot_be_read_hides_no_fault_of_another(folder: Folder) -> None:
    """Nor does a row: what is wrong between the others is told in the same go."""
    path = folder(
        divisions="division,name,carrier_limit_lb\nd1,One,heavy\n",
        players="player,team,number,name\na1,ash,1,\na2,oak,2,\na3,ash,1,\n",
        officials="official;name;role\n",
        games="Game,Division,kickoff,home,visitor\ng1,d1,2026-09-05T10:00,ash,elk\n",
        day=day(close("ash"), says("clsoe")),
    )
    with pytest.raises(FolderError) as caught:
        read_folder(path)
    assert [str(fault).partition("; expected")[0] for fault in caught.value.faults] == [
        "days/01.csv, line 3, kind: found 'clsoe'",
        "divisions.csv, line 2, carrier_limit_lb: found 'heavy'",
        "games.csv, line 1: found the headings 'Game', 'Division'",
        "games.csv, line 2, visitor: found 'elk'",
        "officials.csv, line 1: found columns separated by ';'",
        "players.csv, line 3, team: found 'oak'",
        "players.csv, line 4, number: found 1, which a1 of ash already has",
    ]
    told = "Fix these, then load again: 1 file and 1 entry were not fully checked yet."
    assert caught.value.hint == told


@pytest.mark.parametrize(
    ("files", "faults", "unchecked"),
    [
        # Each id may be that of the team that cannot be read: none is told to be unknown.
        ({"teams": "team,division,name\nash,d1,Ash\ne lm,d1,Elm\n"}, 1, "9 rows were"),
        ({"teams": "team,division,name\nash,d1,Ash\nelm,d1\n"}, 1, "1 file and 9 rows were"),
        ({"teams": None}, 1, "9 rows were"),
        ({"divisions": "division,name,limit\n"}, 1, "1 file and 4 rows were"),
        # A team whose id can be read is known.
        ({"teams": "team,division,name\nash,d1,Ash\nelm,d1,\n"}, 1, ""),
        ({"league": None, "day": day(close("oak"))}, 1, "1 entry was"),
    ],
)
def test_an_id_that_cannot_be_read_makes_no_other_unknown(
    folder: Folder, files: dict[str, str | None], faults: int, unchecked: str
) -> None:
    with pytest.raises(FolderError) as caught:
        read_folder(folder(**files))
    assert len(caught.value.faults) == faults, caught.value.message
    told = f"Fix these, then load again: {unchecked} not fully checked yet."
    assert caught.value.hint == (
        told if unchecked else "Fix these, then run the same command again."
    )


def test_one_fault_is_one(folder: Folder) -> None:
    with pytest.raises(FolderError, match=r"^1 fault; nothing was written:\n"):
        loaded(folder(day=day(close("oak"))))


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such folder") as caught:
        read_folder(tmp_path / "nowhere")
    assert caught.value.hint == "Give the folder that contains league.toml."


def test_odd_things_among_the_day_files_are_faults(folder: Folder) -> None:
    path = folder(day=day(close("ash")))
    (path / "days" / "02.csv").mkdir()
    (path / "days" / "03.csv").symlink_to("nowhere")
    (path / "days" / b"\xff.csv".decode("utf-8", "surrogateescape")).write_text("")
    faults = refused(path)
    assert [fault.partition(";")[0] for fault in faults] == [
        "days: found '\\udcff.csv'",
        "days/02.csv: found a file that cannot be read (Is a directory)",
        "days/03.csv: found a file that cannot be read (No such file or directory)",
    ]
    assert count_lines(path) < 3


def test_days_that_are_no_folder_are_refused(folder: Folder) -> None:
    path = folder()
    (path / "days").write_text("")
    with pytest.raises(InputError, match="days cannot be read: Not a directory"):
        read_folder(path)


def test_the_day_files_lines_are_about_as_many_as_counted() -> None:
    assert count_lines(SAMPLE) == pytest.approx(7010, rel=0.1)


@pytest.mark.parametrize("name", ["league", "players", "day"])
def test_text_that_is_not_utf8_or_holds_nul(folder: Folder, name: str) -> None:
    file = {"league": "league.toml", "players": "players.csv", "day": "days/01.csv"}[name]
    (fault,) = refused(folder(**{name: b"\xff"}))
    assert fault.startswith(f"{file}, line 1: found bytes that are not UTF-8")
    (fault,) = refused(folder(**{name: b"\n\0"}))
    assert fault == f"{file}, line 2: found a NUL character; expected text without it"


FILES = ["league", "divisions", "teams", "players", "officials", "games", "day"]
PIECES = [*'",\r\n -:.', *"0129", "at", "kind", "by", "g1", "ash", "weigh", "a1", "T"]
LIKE_CSV = st.lists(st.sampled_from(PIECES)).map(lambda pieces: "".join(pieces).encode())
LINE = day(close("ash", note="x")).encode()


@settings(max_examples=150, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(FILES),
        st.one_of(
            st.binary(max_size=60), LIKE_CSV, LIKE_CSV.map(lambda more: LINE + more), st.none()
        ),
        min_size=1,
        max_size=3,
    )
)
def test_any_bytes_in_any_file_are_a_folder_or_a_folder_error(
    scratch: Path, files: dict[str, Any]
) -> None:
    faults: tuple[Fault, ...] = ()
    try:
        loaded(write_folder(scratch / "season", **files))
    except FolderError as error:
        faults = error.faults
    assert all(fault.file and fault.found and fault.right for fault in faults)


@pytest.fixture(scope="module")
def scratch(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("any")
