"""sheet and enter: a morning on paper, typed in."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NoReturn

import click
import pytest

from ledger.record.paper_sheet import AT_SCALE, CHECK, COLUMNS, OUT
from tests.commands.conftest import Ran, Run
from tests.tiny import events_in, load

Folder = Callable[..., Path]
SAYS = ("value", "reason", "initials", "reading_clb", "half")
PLAYERS = 24
KEY, LOOK = 0.28, 1.35
"""Seconds of the Keystroke-Level Model (Card, Moran and Newell, 1980; from memory): a key of an
average typist who is no secretary, and the thought before a unit of work, here a cell.
"""


@pytest.fixture
def ledger(folder: Folder, tmp_path: Path) -> Path:
    """The tiny season as season.weighbook, where the command looks for it."""
    store = tmp_path / "season.weighbook"
    load(store, folder())
    return store


def sheet(run: Run, *words: object) -> list[dict[str, str]]:
    """The lines of a new sheet of ash in g1, by column."""
    ran = run("sheet", "g1", "ash", "--to", "new.csv", *words)
    assert ran.status == 0, ran.err
    with Path("new.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = [dict(zip(COLUMNS, row, strict=True)) for row in csv.reader(file)]
    Path("new.csv").unlink()
    return rows[1:]


def fill(lines: Sequence[dict[str, str]], marks: dict[str, str], by: str = "") -> None:
    """Type into the line of a player or label: `{"a1": "ok=x time=8:41"}`, the official into By."""
    for line in lines:
        typed = marks.get(line["line"], "")
        line |= {key: text for key, _, text in (part.partition("=") for part in typed.split())}
        line["by"] = line["by"] or (by if typed else "")


def save(lines: Sequence[dict[str, str]], separator: str = ",") -> None:
    with Path("sheet.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, delimiter=separator)
        writer.writerow(COLUMNS.values())
        writer.writerows([line.get(column, "") for column in COLUMNS] for line in lines)


def enter(run: Run, *words: object) -> Ran:
    return run("enter", "sheet.csv", "--by", "we", "--yes", *words)


def said(ledger: Path) -> list[str]:
    """What was recorded after the setup: "13:41 weigh a1 ok"."""
    found = []
    for event in events_in(ledger):
        if event.at:
            what = ("value", "reason", "initials", "reading_clb", "half")
            words = [
                event.kind,
                event.player or event.team or "",
                *(event.data.get(k) for k in what),
            ]
            found.append(" ".join([event.at[11:16], *(str(word) for word in words if word)]))
    return found


MORNING = {
    "at the scale": "time=8:15",
    "scale check": "reads=10 limit=100 time=8:20",
    "a1": "ok=x book=x initials=IL time=8:41",
    "a2": "over=X taped=x late=x absent=x book=x initials=IL time=9:20",
    "weigh-in closed": "time=9:05",
    "first half ended": "time=10:45",
}


def test_a_sheet_has_a_line_for_each_player_and_no_name_unless_asked(
    run: Run, ledger: Path
) -> None:
    lines = sheet(run)
    assert [line["line"] for line in lines] == [
        *("at the scale", "at the scale", "scale check", "a1", "a2", "", ""),
        *("scale out of use", "weigh-in closed", "first half ended", "second half ended"),
    ]
    assert [line["team"] for line in lines[:2]] == ["elm", "ash"]
    assert {line["name"] for line in lines} == {""}
    assert [line["name"] for line in sheet(run, "--names")[3:5]] == [
        "Pip Quillfeather",
        "Ottla Bramblewick",
    ]


def test_the_help_says_what_the_lines_about_the_scale_need(run: Run) -> None:
    """Those for which a time alone is refused: every heading that they need is named."""
    told = " ".join(run("sheet", "--help").out.split())
    for label, column in ((AT_SCALE, "by"), (CHECK, "reads"), (CHECK, "limit"), (OUT, "note")):
        sentence = told.partition(f'"{label}"')[2].partition('"')[0]
        assert COLUMNS[column] in sentence


def test_a_morning_is_recorded_with_the_papers_times(run: Run, ledger: Path) -> None:
    lines = sheet(run)
    fill(lines, MORNING, by="we")
    lines[1]["by"] = "wa"
    lines[5] |= {"number": "7", "name": "Bo Yarrow", "ok": "x", "time": "8:50", "by": ""}
    save(lines)
    ran = enter(run)
    assert ran.status == 0, ran.err
    assert "From Sat, Sep 5, 2026, 8:15 AM CDT, to Sat, Sep 5, 2026, 10:45 AM CDT." in ran.out
    assert "Recorded 14 entries as office:21 to office:34." in ran.out
    assert "Yarrow" not in ran.out
    assert ran.out.startswith("ash in g1:\nNo.    Player")
    told = (
        "2 a2 listed (absent) at 9:05 AM CDT; 9:20 AM CDT we over, weighed late; struck off "
        "(absent); listed (over); striped; book: over IL"
    )
    assert told in " ".join(ran.out.split())
    assert [line for line in ran.out.splitlines() if len(line) > 80] == []
    assert said(ledger) == [
        "13:15 at_scale elm",
        "13:15 at_scale ash",
        "13:20 station 1000",
        "13:41 weigh a1 ok",
        "13:41 initial a1 ok IL",
        "13:50 weigh unlisted-g1-ash-7 ok",
        "14:05 list a2 absent",
        "14:05 close ash",
        "14:20 late_weigh a2 over",
        "14:20 strike_off a2 absent",
        "14:20 list a2 over",
        "14:20 stripe a2",
        "14:20 initial a2 over IL",
        "15:45 half 1",
    ]
    assert {event.entered == event.at for event in events_in(ledger) if event.at} == {True}


def test_who_weighed_by_full_name_on_a_line(run: Run, ledger: Path) -> None:
    lines = sheet(run)
    fill(lines, {"a1": "ok=x time=8:41"}, by="Ana Thistlewood")
    save(lines)
    assert run("enter", "sheet.csv", "--by", "Ivo Larkspur", "--yes").status == 0
    assert events_in(ledger)[-1].by == "wa"


def test_who_weighed_by_a_name_that_several_have(run: Run, folder: Folder, tmp_path: Path) -> None:
    people = (
        "official,name,role,team\nwa,Ana Thistlewood,weighmaster,ash\n"
        "we,Ana Larkspur,weighmaster,elm\nca,Mo Harrowgate,coach,ash\n"
    )
    load(tmp_path / "season.weighbook", folder(officials=people))
    lines = sheet(run)
    fill(lines, {"a1": "ok=x time=8:41 by=Mo", "a2": "ok=x time=8:42 by=ana"})
    save(lines)
    ran = enter(run)
    assert ran.status == 2
    told = "line 6, By: found 'ana'; expected one of wa (Ana Thistlewood), we (Ana Larkspur)"
    assert told in ran.err
    assert "Mo" not in ran.err


@pytest.mark.parametrize(
    ("times", "told"),
    [
        (["2098-09-06 08:41"], "Sat, Sep 6, 2098, 8:41 AM CDT."),
        (
            ["2098-09-06 08:41", "2098-09-06 08:50"],
            "Sat, Sep 6, 2098, 8:41 AM CDT to Sat, Sep 6, 2098, 8:50 AM CDT.",
        ),
    ],
    ids=["one", "several"],
)
def test_a_time_still_to_come_is_asked_about(
    run: Run, ledger: Path, monkeypatch: pytest.MonkeyPatch, times: list[str], told: str
) -> None:
    """--yes does not answer this: people type it by habit."""
    lines = sheet(run)
    fill(lines, {"a1": "ok=x time=8:41", "a2": "ok=x time=8:42"})
    for line, time in zip([one for one in lines if one["time"]], times, strict=False):
        line["time"] = time
    save(lines)
    ran = enter(run)
    assert ran.status == 2
    asked = " ".join(ran.err.split())
    assert asked.startswith(f"Still to come: {told} – A weigh-in on paper is over: its times are")
    assert "Check the game, the times, and this device's clock. nothing was recorded" in asked
    assert asked.endswith("add: --despite time_to_come")
    assert said(ledger) == []
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    answers = iter([False, True])
    monkeypatch.setattr("click.confirm", lambda *words, **more: next(answers) or _stop())
    assert enter(run).status == 130
    assert said(ledger) == []
    assert enter(run).status == 0
    assert len(said(ledger)) == 2


def _stop() -> NoReturn:
    raise click.Abort


def test_a_script_may_say_that_a_time_to_come_is_meant(run: Run, ledger: Path) -> None:
    lines = sheet(run)
    fill(lines, {"a1": "ok=x", "a2": "ok=x"})
    lines[3]["time"], lines[4]["time"] = "2098-09-06 08:41", "8:42"
    save(lines)
    assert enter(run, "--despite", "time_to_come").status == 0
    assert len(said(ledger)) == 2


def test_a_sheet_entered_again_adds_only_what_is_new(run: Run, ledger: Path) -> None:
    lines = sheet(run)
    fill(lines, {"a1": "ok=x time=8:41"})
    save(lines)
    assert "No mark for ash 2. This player stays neither weighed nor listed." in enter(run).out
    ran = enter(run)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("sheet.csv is already in the ledger; nothing was recorded")
    fill(lines, {"a2": "absent=x time=9:05"})
    save(lines, separator=";")
    ran = enter(run)
    assert "1 entry of this sheet is already in the ledger, and not recorded again." in ran.out
    assert said(ledger) == ["13:41 weigh a1 ok", "14:05 list a2 absent"]


def test_a_line_changed_since_is_told_with_what_the_ledger_has(run: Run, ledger: Path) -> None:
    lines = sheet(run)
    fill(lines, {"a1": "ok=x time=8:41", "a2": "ok=x time=8:42"})
    save(lines)
    assert "The ledger has" not in enter(run).out
    (held,) = [event.id for event in events_in(ledger) if event.player == "a1" and event.at]
    fill(lines, {"a1": "ok= late=x over=x time=9:20"})
    save(lines)
    told = " ".join(enter(run).out.split())
    assert f"The ledger has, and this sheet has not: ash 1 ok at 8:41 AM CDT ({held})." in told
    assert "weighbook record withdraw --target ID --by WHO --reason TEXT" in told


@pytest.mark.parametrize("how", ["ink", "key"])
def test_a_sheet_grows_after_its_list_is_signed(run: Run, ledger: Path, how: str) -> None:
    lines = sheet(run)
    fill(
        lines, {"a1": "ok=x time=8:41", "a2": "absent=x time=9:05", "weigh-in closed": "time=9:05"}
    )
    save(lines)
    assert enter(run).status == 0
    Path("secret").write_text("correct horse")
    Path("scan.pdf").write_bytes(b"%PDF-1.4 a scan")
    if how == "key":
        assert run("enroll", "we", "--by", "rg", "--passphrase-file", "secret").status == 0
    words = ["--ink", "scan.pdf"] if how == "ink" else ["--passphrase-file", "secret"]
    signed = run("sign", "g1", "ash", "--by", "we", *words)
    assert signed.status == 0, signed.err
    fill(lines, {"a2": "absent=x late=x ok=x time=9:20"})
    save(lines)
    ran = enter(run)
    assert ran.status == 0, ran.err
    assert said(ledger)[-2:] == ["14:20 late_weigh a2 ok", "14:20 strike_off a2 absent"]


def test_a_signature_in_ink_bears_the_time_on_the_paper(run: Run, ledger: Path) -> None:
    Path("scan.pdf").write_bytes(b"%PDF-1.4 a scan")
    words = ["sign", "g1", "ash", "--by", "we", "--at", "8:55", "--despite", "unaccounted"]
    refused = run(*words)
    assert refused.err.splitlines()[1] == "--at needs --ink; nothing was signed"
    assert not said(ledger)
    ran = run(*words, "--ink", "scan.pdf")
    assert ran.err.startswith("--at: Sat, Sep 5, 2026, 8:55 AM CDT.\n")
    assert "signed in ink by we, Sat, Sep 5, 2026, 8:55 AM CDT.\n" in ran.out
    signed = events_in(ledger)[-1]
    assert (signed.at, signed.entered) == ("2026-09-05T13:55:00.000Z",) * 2
    assert str(signed.recorded) > str(signed.at)


def test_a_paper_is_not_signed_in_the_future(run: Run, ledger: Path) -> None:
    Path("scan.pdf").write_bytes(b"%PDF-1.4 a scan")
    words = ["sign", "g1", "ash", "--by", "we", "--ink", "scan.pdf"]
    ran = run(*words, "--at", "9999-01-01 08:55")
    assert ran.status == 2
    assert ran.err.startswith("the time on the signed paper is still to come\n")
    assert not said(ledger)


def test_a_weigh_after_the_close_stays_as_it_is_marked(run: Run, ledger: Path) -> None:
    """With the close on the sheet, and again with the close in the ledger."""
    lines = sheet(run)
    fill(lines, {"a1": "ok=x time=9:10", "weigh-in closed": "time=9:05"})
    save(lines)
    ran = enter(run)
    assert "Weighed after the close, and not marked late: ash 1. Is the time right?" in ran.out
    fill(lines, {"a2": "ok=x time=9:12"})
    save(lines)
    assert enter(run).status == 0
    assert said(ledger) == ["14:05 close ash", "14:10 weigh a1 ok", "14:12 weigh a2 ok"]


def test_both_teams_on_one_sheet(run: Run, ledger: Path) -> None:
    lines = sheet(run)
    fill(lines, {"a1": "ok=x time=8:41"})
    other = dict(lines[3]) | {"team": "elm", "line": "e1", "by": "wa"}
    save([*lines, other])
    told = [" ".join(line.split()) for line in enter(run).out.splitlines()]
    assert told[0] == "ash in g1 and elm in g1:"
    assert told[3:5] == ["ash 1 a1 ok 8:41 AM CDT we", "elm 1 e1 ok 8:41 AM CDT wa"]


def test_initials_name_who_weighed(run: Run, ledger: Path) -> None:
    lines = sheet(run)
    fill(lines, {"a1": "ok=x initials=at time=8:41", "a2": "ok=x time=8:42"})
    save(lines)
    assert enter(run, "--initials", "AT=Ana Thistlewood").status == 0
    assert [event.by for event in events_in(ledger) if event.at] == ["wa", "we"]
    assert "--initials: found 'AT'\nType initials, =" in enter(run, "--initials", "AT").err


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("ok=x", "line 5, Time: found nothing; expected the time on the paper, or --time"),
        ("ok=x time=noon", "line 5, Time: found 'noon'; expected a time such as"),
        ("ok=x over=x time=8:41", "over: found ok and over; expected one of ok, over, no scale"),
        ("late=x time=8:41", "late: found late alone; expected ok, over or no scale"),
        ("time=8:41", "ok: found no mark; expected a mark, or the line left empty"),
        ("line= number=99", "ok: found no mark; expected a mark, or the line left empty"),
        ("ok=x book=x time=8:41", "Initials: found nothing; expected the initials in the book"),
        ("no_scale=x book=x initials=I time=8:41", "Book: found a mark; expected ok or over"),
        ("ok=x time=8:41 by=wx", "line 5, by: found 'wx'; expected an official"),
        ("line=a7 ok=x time=8:41", "line 5, player: found 'a7'; expected a player"),
        ("game=g7 ok=x time=8:41", "line 5, game: found 'g7'; expected a game in games.csv"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_line(
    run: Run, ledger: Path, typed: str, told: str
) -> None:
    lines = sheet(run)
    fill(lines, {"a1": typed})
    save(lines)
    before = ledger.read_bytes()
    ran = enter(run)
    assert (ran.status, ran.out) == (2, "")
    assert told in ran.err
    assert ledger.read_bytes() == before


def test_a_weight_in_a_box_is_not_repeated(run: Run, ledger: Path) -> None:
    lines = sheet(run)
    fill(lines, {"a1": "ok=97.5 time=8:41"})
    save(lines)
    ran = enter(run)
    assert "ok: found something other than a mark; expected x, or an empty cell" in ran.err
    assert "97" not in ran.err


@pytest.mark.parametrize(
    ("by", "told"),
    [("rg", "rg is not a weighmaster of the other team. --by"), ("wa", "wa is not"), ("we", "")],
)
def test_a_sheet_says_if_who_weighed_is_not_of_the_other_team(
    run: Run, ledger: Path, by: str, told: str
) -> None:
    lines = sheet(run)
    fill(lines, {"a1": "ok=x time=8:41"})
    save(lines)
    shown = " ".join(run("enter", "sheet.csv", "--by", by, "--yes").out.split())
    assert told in shown
    assert ("of the other team" in shown) is bool(told)
    assert said(ledger) == ["13:41 weigh a1 ok"]


def test_nothing_is_recorded_without_a_yes_or_a_mark(
    run: Run, ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = sheet(run)
    save(lines)
    assert "sheet.csv has no mark in it; nothing was recorded" in enter(run).err
    fill(lines, {"a1": "ok=x time=8:41"})
    save(lines)
    monkeypatch.setattr("sys.stdin", io.StringIO("n\n"))
    assert run("enter", "sheet.csv", "--by", "we").status == 130
    assert said(ledger) == []


def test_a_filled_in_sheet_is_never_written_over(run: Run, ledger: Path) -> None:
    Path("new.csv").write_text("typed")
    ran = run("sheet", "g1", "ash", "--to", "new.csv")
    assert ran.err.endswith("never replaces a file\nChoose a new file name.\n")
    assert Path("new.csv").read_text() == "typed"


def typing(before: Sequence[dict[str, str]], after: Sequence[dict[str, str]]) -> tuple[int, int]:
    """Keys and cells typed, down one column after another; one key goes to the next cell."""
    count = cells = 0
    for column in COLUMNS:
        pairs = [(old[column], new[column]) for old, new in zip(before, after, strict=True)]
        typed = [at for at, (old, new) in enumerate(pairs) if old != new]
        if typed:
            count += sum(len(new) + 1 for _, new in pairs[typed[0] : typed[-1] + 1])
            cells += len(typed)
    return count, cells


def test_a_team_of_24_is_typed_in_five_minutes(run: Run, folder: Folder, tmp_path: Path) -> None:
    """Its first game: every player gets a mark in the book, too."""
    players = "".join(f"a{number},ash,{number},\n" for number in range(1, PLAYERS + 1))
    load(tmp_path / "season.weighbook", folder(players=f"player,team,number,name\n{players}"))
    lines = sheet(run)
    before = [dict(line) for line in lines]
    marks = dict(MORNING)
    for number in range(1, PLAYERS + 1):
        mark = "over=x taped=x" if number % 8 == 0 else "ok=x"
        marks[f"a{number}"] = f"{mark} book=x initials=IL time=8:{30 + number}"
    fill(lines, marks)
    lines[0]["by"] = lines[1]["by"] = "we"
    save(lines)
    keys, cells = typing(before, lines)
    assert (keys, cells) == (366, 108)
    assert keys * KEY + cells * LOOK < 5 * 60
    assert "Recorded 59 entries" in enter(run).out
