"""weighbook record KIND: one statement, now, and what is refused at once."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from pathlib import Path

import click
import pytest

from ledger.chain.event import Event
from ledger.commands.record import record
from ledger.record.statements import KINDS
from ledger.record.times import moment_of, now_utc
from tests.commands.beginning import Terminal
from tests.commands.conftest import Ran, Run
from tests.tiny import LEAGUE, body_texts, disclosed, events_in, tiny_store

Folder = Callable[..., Path]
WEIGH = ["record", "weigh", "--game", "g1", "--team", "ash", "--by", "we", "--value", "ok"]


@pytest.fixture
def ledger(folder: Folder, tmp_path: Path) -> Path:
    """The tiny season as season.weighbook, where the command looks for it."""
    with tiny_store(folder()):
        pass
    return (tmp_path / "tiny.weighbook").rename(tmp_path / "season.weighbook")


def last(ledger: Path) -> Event:
    return events_in(ledger)[-1]


def test_a_statement_is_recorded_and_named(run: Run, ledger: Path) -> None:
    before = now_utc()
    ran = run(*WEIGH, "--number", 1)
    assert (ran.status, ran.out.splitlines()[0], ran.err) == (0, "Recorded as office:21.", "")
    event = last(ledger)
    assert (event.kind, event.game, event.team, event.player) == ("weigh", "g1", "ash", "a1")
    assert (event.by, event.data) == ("we", {"number": 1, "value": "ok"})
    assert event.at == event.entered
    assert before <= str(event.at) <= event.recorded <= now_utc()


def test_what_was_recorded_is_said_again_so_that_a_slip_is_seen(run: Run, ledger: Path) -> None:
    """Whom it was about, what, when and by whom; no name; and how it is taken back."""
    ran = run(*WEIGH, "--number", 2, "--at", "2026-09-05 09:40", "--entered", "2026-09-05 09:41")
    assert ran.out == (
        "Recorded as office:21.\n"
        "  g1, ash 2 (a2). Weighed: not over the carrier limit. Sat, Sep 5, 2026, 9:40 AM\n"
        "    CDT, written down Sat, Sep 5, 2026, 9:41 AM CDT; recorded late, by we.\n"
        "  Still to do: initial the book.\n"
        "  A mistake? weighbook record withdraw --target office:21 --by we --reason …\n"
    )
    withdraw = ["record", "withdraw", "--target", "office:21", "--by", "we", "--reason", "not 2"]
    told = run(*withdraw, "--at", "2026-09-05 09:42").out
    assert "  Taken back: g1, ash 2 (a2). Weighed: not over the carrier limit." in told
    assert "A mistake?" not in told
    close = ["record", "close", "--game", "g1", "--team", "ash", "--by", "we", "--chain", "tent"]
    said = run(*close, "--despite", "unaccounted").out
    assert "  g1, ash. Closed the team's weigh-in." in said
    assert "--target tent:2 --by we --chain tent --reason …" in said


def test_how_a_mistake_is_taken_back_names_the_ledger_that_was_named(
    run: Run, ledger: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By --store before or after the command; not where the command finds the ledger by itself."""
    named = ledger.rename(tmp_path / "this year's.weighbook")
    weigh = [*WEIGH, "--number", 1]
    quoted = shlex.quote(str(named))
    assert f" --by we --store {quoted} --reason …" in run(*weigh, "--store", named).out
    assert f" --by we --store {quoted} --reason …" in run("--store", named, *weigh).out
    monkeypatch.setenv("WEIGHBOOK_STORE", str(named))
    assert " --by we --reason …" in run(*weigh).out
    command = run(*weigh, "--store", named).out.partition("A mistake? weighbook ")[2]
    assert run(*shlex.split(command)).out.count("Taken back:") == 1


def test_when_it_happened_is_local_time_and_entered_is_now(run: Run, ledger: Path) -> None:
    run(*WEIGH, "--number", 1, "--at", "2026-09-05 08:40")
    event = last(ledger)
    assert event.at == "2026-09-05T13:40:00.000Z"
    written = abs(moment_of(str(event.entered)) - moment_of(event.recorded))
    assert written.total_seconds() < 60
    run(*WEIGH, "--number", 1, "--at", "2026-09-05 08:40Z", "--entered", "2026-09-05 08:41+02:00")
    event = last(ledger)
    assert (event.at, event.entered) == ("2026-09-05T08:40:00.000Z", "2026-09-05T06:41:00.000Z")


def test_an_empty_option_is_one_left_out(run: Run, ledger: Path) -> None:
    run(*WEIGH, "--number", 1, "--note", "", "--at", "", "--player", "")
    assert last(ledger).data == {"number": 1, "value": "ok"}


def test_personal_text_stays_outside_the_chain(run: Run, folder: Folder) -> None:
    with tiny_store(folder()) as store:
        path = folder().with_name("tiny.weighbook")
        words = ["--name", "Bo Yarrow", "--number", 7, "--note", "shy; weighed again"]
        assert run(*WEIGH, *words, "--store", path).status == 0
        out = ["record", "scale_out", "--game", "g1", "--by", "so", "--reason", "the beam broke"]
        assert run(*out, "--store", path).status == 0
        weigh, scale_out = [stored.event for stored in store.events()][-2:]
        assert weigh.player == "unlisted-g1-ash-7"
        assert disclosed(store, weigh) == {"name": "Bo Yarrow", "note": "shy; weighed again"}
        assert disclosed(store, scale_out) == {"reason": "the beam broke"}
        bodies = body_texts(store)
    assert [text for text in ("Yarrow", "shy", "beam") if text in bodies] == []


def test_every_column_of_every_kind_is_explained() -> None:
    for kind in KINDS:
        command = record.get_command(click.Context(record), kind)
        assert command
        assert command.help, kind
        options = [one for one in command.params if isinstance(one, click.Option)]
        assert [one.name for one in options if not one.help] == [], kind


def test_a_kind_with_a_dash_is_the_kind_and_a_slip_is_told(run: Run, ledger: Path) -> None:
    late = ["record", "late-weigh", *WEIGH[2:], "--number", 1]
    assert run(*late).status == 0
    assert last(ledger).kind == "late_weigh"
    assert "No such command 'wiegh'. Did you mean weigh?" in run("record", "wiegh").err
    assert "No such command 'zebra'" in run("record", "zebra").err


def test_a_ref_is_a_target_later(run: Run, ledger: Path) -> None:
    run(*WEIGH, "--number", 1, "--ref", "slip")
    withdraw = ["record", "withdraw", "--by", "we", "--reason", "another child", "--target"]
    assert run(*withdraw, "slip").out.startswith("Recorded as office:22.\n")
    assert last(ledger).data["target"] == "office:21"
    assert run(*withdraw, "office:22").status == 0
    ran = run(*withdraw, "slp")
    assert ran.status == 2
    assert "target: found 'slp'; expected the ref of an earlier line" in ran.err
    assert "Did you mean slip?" in ran.err


def test_a_chain_of_its_own_begins_with_its_key(run: Run, ledger: Path) -> None:
    assert run(*WEIGH, "--number", 1, "--chain", "tent").out.startswith("Recorded as tent:2.\n")
    assert [event.kind for event in events_in(ledger)][-2:] == ["chain_key", "weigh"]
    ran = run(*WEIGH, "--number", 1, "--chain", "the tent")
    assert (ran.status, ran.err.splitlines()[0]) == (2, "--chain: found 'the tent'")


def refused(ran: Ran) -> str:
    """The one fault of a statement that was not recorded."""
    assert (ran.status, ran.out) == (2, "")
    first, fault, hint = ran.err.splitlines()
    assert first == "1 fault; nothing was written:"
    assert hint == "Fix these, then run the same command again."
    return fault


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--number", "7"], "number: found 7, which is not on the roster of ash at the kickoff"),
        (["--number", "07"], "number: found '07'; expected a whole number from 0 to 99"),
        (["--player", "zz"], "player: found 'zz'; expected a player"),
        ([], "player: found nothing; expected a player id, a number, or a number with a name"),
        (["--number", "1", "--at", "noon"], "at: found 'noon'; expected a time such as"),
        (["--number", "1", "--by", "wx"], "by: found 'wx'; expected an offi"),
        (
            ["--number", "1", "--value", "good"],
            "value: found 'good'; expected one of ok, over or no_s",
        ),
        (["--number", "1", "--team", "elk"], "team: found 'elk'; expected a te"),
    ],
)
def test_what_cannot_be_understood_is_refused(
    run: Run, ledger: Path, words: list[str], told: str
) -> None:
    before = ledger.read_bytes()
    assert refused(run(*WEIGH, *words)).startswith(told)
    assert ledger.read_bytes() == before


def test_every_fault_is_told_at_once(run: Run, ledger: Path) -> None:
    ran = run(*WEIGH, "--number", "x", "--at", "noon", "--value", "good")
    assert ran.err.startswith("3 faults; nothing was written:\n")
    assert [line.partition(":")[0] for line in ran.err.splitlines()[1:4]] == [
        "at",
        "number",
        "value",
    ]


def test_local_time_is_the_leagues(run: Run, folder: Folder, tmp_path: Path) -> None:
    kathmandu = LEAGUE.replace("America/Chicago", "Asia/Kathmandu")
    run("load", folder(league=kathmandu))
    run(*WEIGH, "--number", 1, "--at", "2026-09-05 08:40")
    assert last(tmp_path / "season.weighbook").at == "2026-09-05T02:55:00.000Z"


def test_text_that_is_no_unicode_is_refused(run: Run, ledger: Path) -> None:
    """Bytes of a shell that are no UTF-8 arrive as lone surrogates."""
    for words in (["--note", "\udcff"], ["--ref", "\udcff"], ["--name", "\udcff"]):
        ran = run(*WEIGH, "--number", 1, *words)
        assert (ran.status, ran.out) == (2, "")
        assert "Traceback" not in ran.err
    assert last(ledger).kind == "game"


LATE = ["--game", "g1", "--team", "ash", "--number", "2", "--by", "we"]
CAME_LATE = (
    ["list", *LATE, "--reason", "absent"],
    ["late_weigh", *LATE, "--value", "ok"],
    ["strike_off", *LATE],
    ["initial", *LATE, "--value", "ok", "--initials", "WE"],
)
BACK = ["record", "withdraw", "--target", "office:22", "--by", "we", "--reason", "another child"]


@pytest.fixture
def came_late(run: Run, ledger: Path) -> Path:
    """office:21 to office:24: listed as absent, weighed late, struck off, marked in the book."""
    for number, words in enumerate(CAME_LATE):
        assert run("record", *words, "--at", f"2026-09-05 09:4{number}").status == 0
    return ledger


def test_a_script_takes_back_what_it_names_and_is_told_what_stays(
    run: Run, came_late: Path
) -> None:
    ran = run(*BACK)
    assert ran.out.startswith("Recorded as office:25.\n")
    assert " ".join(ran.err.split()) == (
        "Entered along with it, and still standing: "
        "– office:23: Struck off the list (was: absent or incomplete gear). "
        "– office:24: Marked in the book in g1: not over the carrier limit, initials WE. "
        "To take that back too: "
        "weighbook record withdraw --target office:23 --by we --reason … "
        "weighbook record withdraw --target office:24 --by we --reason …"
    )


@pytest.mark.parametrize(
    ("typed", "targets"),
    [("y\n", ["office:22", "office:23", "office:24"]), ("n\n", ["office:22"])],
)
def test_on_a_terminal_the_whole_act_is_offered(
    run: Run,
    came_late: Path,
    monkeypatch: pytest.MonkeyPatch,
    typed: str,
    targets: list[str],
) -> None:
    monkeypatch.setattr("sys.stdin", Terminal(typed))
    ran = run(*BACK)
    assert "Take that back too? [y/n]: " in ran.err
    found = [event for event in events_in(came_late) if event.kind == "withdraw"]
    assert [event.data["target"] for event in found] == targets
    assert f"Recorded as {' and '.join(event.id for event in found)}." in ran.out
    assert ran.out.count("Taken back: ") == len(targets)


@pytest.mark.parametrize(
    "before",
    [
        ["late_weigh", *LATE, "--value", "over"],  # the right one is there already
        ["withdraw", "--target", "office:22", "--by", "we", "--reason", "gone before"],
    ],
    ids=["weighed again", "taken back before"],
)
def test_nothing_more_is_offered_where_nothing_is_left_behind(
    run: Run, came_late: Path, before: list[str]
) -> None:
    assert run("record", *before).status == 0
    assert run(*BACK).err == ""


def test_only_the_official_s_own_later_entries_come_along(run: Run, ledger: Path) -> None:
    """A mark by somebody else, an earlier listing, another reason and another child stay."""
    other = ["initial", *LATE[:-1], "wa", "--value", "ok", "--initials", "WA"]
    first = ["list", *LATE, "--reason", "over"]
    hurt = ["list", *LATE, "--reason", "injured"]
    child = ["stripe", *LATE[:5], "1", "--by", "we"]
    for number, words in enumerate((first, CAME_LATE[1], other, hurt, child)):
        assert run("record", *words, "--at", f"2026-09-05 09:4{number}").status == 0
    assert run(*BACK).err == ""
    own = ["list", *LATE, "--reason", "over"]
    assert run("record", *own, "--at", "2026-09-05 09:45").status == 0
    again = ["withdraw", "--target", "office:26", "--by", "we", "--reason", "it was this child"]
    assert run("record", *again).status == 0
    assert run(*BACK).err.splitlines()[1].startswith("  – office:27: Put on the list as over")


def test_the_help_of_a_kind_names_options_not_columns(run: Run) -> None:
    told = " ".join(run("record", "station", "--help").out.split())
    assert "the scale read --reading lb with the check weight. Set to --limit lb." in told
    assert "`" not in run("record", "--help").out
