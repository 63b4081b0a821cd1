"""What both sides signed is what they signed: tried by commands with an earlier time, by a new
chain under a clock set back, and by somebody who makes himself a reviewer.

Number 5 of the newts was weighed over and listed in acorn-1a. Both sides have signed the list with
keys. Six ordinary commands then say that he was weighed ok, each dated before the signatures.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from ledger.say.clock import local_time
from ledger.store.opening import open_store
from tests.commands.conftest import Run
from tests.signed_season import GAME, receipt, season

PLAYER, BY = "k141", "marmots-wm3"
EARLY = ("--at", "2026-09-05 08:42", "--entered", "2026-09-05 08:42:30")
SAID = (
    "No. 5: signed as: plays the whole game but does not carry the ball; listed as over the "
    "carrier limit. Now: plays the whole game and may carry the ball."
)
SET_BACK = "2026-09-05T13:50:00.000Z"
CHILD = """
import sys
from ledger.record import times
times.now_utc = lambda: {clock!r}
from ledger.commands import main
sys.argv = ["weighbook", *sys.argv[1:]]
main()
"""


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    """The signed season, and beside it what the first who signed took home."""
    path = tmp_path / "season.weighbook"
    with season(path):
        (tmp_path / "receipt.txt").write_bytes(receipt())
    return path


def six(path: Path) -> list[tuple[str, ...]]:
    """The six commands, without ledger and chain."""
    store = open_store(path)
    kinds = ("weigh", "initial", "list", "stripe")
    found = list(store.events(game=[GAME], player=[PLAYER], kind=list(kinds)))
    store.close()
    assert [one.event.kind for one in found] == list(kinds)
    undo = [("withdraw", "--target", one.id, "--reason", "a slip") for one in found]
    again = ("--game", GAME, "--team", "newts", "--number", "5", "--value", "ok")
    return [*undo, ("weigh", *again), ("initial", *again, "--initials", "TE")]


def state(path: Path, run: Run, *more: str, clock: str = "") -> list[str]:
    """Give the six commands; the ids of what they recorded."""
    ids = []
    for words in six(path):
        given = ["record", *words, "--by", BY, *EARLY, "--store", str(path), *more]
        out = in_a_child(given, clock) if clock else run(*given).out
        ids.append(out.split()[2].rstrip("."))
    return ids


def in_a_child(given: list[str], clock: str) -> str:
    """A process of its own whose clock says that time."""
    child = [sys.executable, "-c", CHILD.format(clock=clock), *given]
    ran = subprocess.run(child, check=True, capture_output=True, text=True, env=os.environ)
    return ran.stdout


def answer(run: Run, *words: object) -> Any:
    return json.loads(run(*words, "--format", "json").out)


def as_one_line(text: str) -> str:
    return " ".join(text.split())


def text_of(paper: Path) -> str:
    with pypdfium2.PdfDocument(paper) as document:
        return as_one_line(" ".join(page.get_textpage().get_text_range() for page in document))


def behind(run: Run, path: Path) -> list[str]:
    rows = answer(run, "findings", "--store", path, "--game", GAME)
    return [
        one for row in rows if row["rule"] == "stated_behind_signature" for one in row["events"]
    ]


def recorded_at(path: Path, ids: list[str]) -> set[str]:
    """The local times when the ledger got these entries."""
    store = open_store(path)
    times = {local_time(str(store.event(one).recorded), "America/Chicago") for one in ids}
    store.close()
    return times


def check_that_everybody_says_so(run: Run, path: Path, ids: list[str]) -> None:
    """List, `sign`, findings, why and changes, as the issue has it."""
    store = ("--store", path)
    (row,) = [
        row
        for row in answer(run, "eligibility", GAME, *store)
        if (row["team"], row["number"]) == ("newts", 5)
    ]
    assert (row["may_play"], row["may_carry"], row["listed"]) == ("full", "yes", [])
    assert behind(run, path) == ids
    passphrase = path.with_name("passphrase.txt")
    passphrase.write_text("not the passphrase")  # the list is shown before
    signing = ("sign", GAME, "newts", "--by", BY, "--passphrase-file", passphrase, *store)
    shown = as_one_line(run(*signing).out)
    assert run("print", "list", GAME, "newts", "--to", "list.pdf", *store).status == 0
    printed = text_of(path.with_name("list.pdf"))
    why = as_one_line(run("why", GAME, "--team", "newts", "--number", "5", *store).out)
    for told in (shown, why):
        assert "Written down Sat, Sep 5, 2026, 8:42 AM CDT; recorded" in told, told
    assert "Written down 8:42 AM." in printed, printed
    # Once for most of them; in the last line, if the others came in the same minute.
    assert any(one in printed for one in recorded_at(path, ids)), printed
    for told in (shown, why):
        assert SAID in told, told
    assert shown.count("Changed after signing: No. 5.") == 4  # two keys, two on the sheet
    assert all(one in why for one in ids)
    assert why.count("Recorded after the list was signed, but dated before.") == 6
    changes = as_one_line(run("changes", GAME, "--from", "2026-09-05 09:00", *store).out)
    assert "6 statements about acorn-1a were recorded after a signature, but say they" in changes
    assert f"were written down before it: {', '.join(ids)}. " in changes


def audited(run: Run, path: Path) -> str:
    """What the audit says beside the receipt: nothing that was signed is another."""
    ran = run("audit", "--store", path, "--since", path.with_name("receipt.txt"))
    assert ran.status == 0
    assert "Verdict: intact: yes · countersigned: yes · complete: yes · anchored: yes." in ran.out
    return as_one_line(ran.out)


def test_six_commands_dated_before_the_signatures(run: Run, ledger: Path) -> None:
    ids = state(ledger, run)
    check_that_everybody_says_so(run, ledger, ids)
    chain, _, last = ids[-1].partition(":")
    first = int(last) - 9  # the receipt is of the first of four signatures
    assert f"Note: 9 events after {chain}:{first} are in no copy" in audited(run, ledger)


def test_the_same_by_a_chain_under_a_clock_set_back(run: Run, ledger: Path) -> None:
    ids = state(ledger, run, "--chain", "tent", clock=SET_BACK)
    assert {one.partition(":")[0] for one in ids} == {"tent"}
    check_that_everybody_says_so(run, ledger, ids)
    said = audited(run, ledger)
    assert "Note: 7 events of tent are in no copy" in said
    assert (
        f"does not cover tent:1 to tent:7, so this counts as later, but was recorded by {SET_BACK}"
        in said
    )


def test_a_coach_who_appoints_himself_and_rules_changes_no_answer(run: Run, ledger: Path) -> None:
    store = ("--store", ledger)
    asked = [("eligibility", GAME, *store), ("exposure", GAME, *store)]
    before = [answer(run, *words) for words in asked]
    by = ("--by", "newts-coach1", *store)
    on_case = ("--case", "carry-5", *by)
    about = ("--game", GAME, "--team", "newts", "--number", "5")
    commands = [
        ("appoint", "--value", "newts-coach1", "--to", "division_president", *by),
        ("case-open", *about, "--reason", "weigh", *on_case),
        ("ruling", *about, "--value", "upheld", "--may-carry", "yes", *on_case),
    ]
    ran = [run("record", *words) for words in commands]
    assert [one.status for one in ran] == [0, 0, 0]
    print(ran[0].out, ran[2].out)
    assert [answer(run, *words) for words in asked] == before
    appoint, _, ruling = (one.out.split()[2].rstrip(".") for one in ran)
    rows = answer(run, "findings", *store)
    rules = ("appointed_without_authority", "ruling_without_authority")
    of_these = [row for row in rows if row["events"] in ([appoint], [ruling])]
    found = [(row["rule"], row["events"]) for row in of_these if row["rule"] in rules]
    assert found == [(rules[1], [ruling]), (rules[0], [appoint])]
