"""weighbook evidence pack and weighbook evidence check, as people run them."""

from __future__ import annotations

import json
import shutil
import stat
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from ledger.commands import weighbook
from ledger.review.evidence.archive import read_bundle
from ledger.store.sqlite.store import SqliteStore
from tests.papers.samples import pages
from tests.signed_season import CASE, receipt


@pytest.fixture(scope="module")
def store(ledger: SqliteStore, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the ledger's file."""
    path = tmp_path_factory.mktemp("commands") / "season.weighbook"
    ledger.connection.execute("pragma wal_checkpoint(truncate)")
    (_, _, file) = ledger.connection.execute("pragma database_list").fetchone()
    shutil.copy(file, path)
    return path


@pytest.fixture(scope="module")
def packet(store: Path) -> Path:
    """The packet of the case, as it was handed out."""
    to = store.with_name("packet.pdf")
    run("--store", store, "print", "protest-packet", CASE, "--to", to)
    return to


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(weighbook, [str(word) for word in words])


def test_a_bundle_is_checked_without_the_ledger(store: Path, packet: Path, tmp_path: Path) -> None:
    to = tmp_path / "late.zip"
    words = ("--packet", packet, "--disclose", "name,note", "--to", to)
    told = run("--store", store, "evidence", "pack", CASE, *words)
    assert told.exit_code == 0, told.output
    assert "texts disclosed" in told.output
    assert "is in the bundle" in told.output
    checked = run("evidence", "check", to)
    assert checked.exit_code == 0
    assert "Case late-plays, with 1 exhibit and a packet." in checked.output
    assert checked.output.endswith("Everything in it fits together.\n")
    whole = json.loads(run("evidence", "check", to, "--format", "json").output)
    assert (whole["ok"], whole["case"]) == (True, CASE)
    assert read_bundle(to)["data/packet.pdf"] == packet.read_bytes()


# A protest has its own packet; a question about a weigh has the review packet.
PACKETS = {CASE: "Protest packet", "wrong-mark": "Review packet"}


@pytest.mark.parametrize("case", PACKETS)
def test_the_packet_is_made_where_none_is_given(store: Path, tmp_path: Path, case: str) -> None:
    to, again = tmp_path / "bundle.zip", tmp_path / "again.zip"
    told = run("--store", store, "evidence", "pack", case, "--to", to)
    assert told.exit_code == 0, told.output
    assert "The packet names the children that the case is about" in told.output
    assert "Outside the packet: no names, no remarks.\n" in told.output
    assert stat.S_IMODE(to.stat().st_mode) == 0o600  # it holds children's names
    packet = read_bundle(to)["data/packet.pdf"]
    (tmp_path / "packet.pdf").write_bytes(packet)
    first = pages(tmp_path / "packet.pdf")[0]
    assert PACKETS[case] in first
    assert case in first
    # The time of printing is that of the last entry, so that the same ledger gives the same file.
    run("--store", store, "evidence", "pack", case, "--to", again)
    assert again.read_bytes() == to.read_bytes()
    assert run("evidence", "check", to).output.endswith("Everything in it fits together.\n")


def test_a_packet_may_be_left_out(store: Path, tmp_path: Path) -> None:
    to = tmp_path / "late.zip"
    told = run("--store", store, "evidence", "pack", CASE, "--no-packet", "--to", to)
    assert "Shown: no names, no remarks.\n" in told.output
    assert "data/packet.pdf" not in read_bundle(to)
    assert "and no packet." in run("evidence", "check", to).output


def test_what_is_no_packet_is_refused(store: Path, tmp_path: Path) -> None:
    (tmp_path / "packet.txt").write_text("a packet")
    to = tmp_path / "late.zip"
    words = ("--store", store, "evidence", "pack", CASE, "--to", to)
    told = run(*words, "--packet", tmp_path / "packet.txt")
    assert "not a PDF" in str(told.exception)
    told = run(*words, "--packet", tmp_path / "packet.txt", "--no-packet")
    assert "--packet and --no-packet" in str(told.exception)
    assert not to.exists()


@pytest.mark.parametrize("paper", [("book", "newts"), ("review-packet", "wrong-mark")])
def test_another_paper_is_no_packet_of_the_case(
    store: Path, tmp_path: Path, paper: tuple[str, str]
) -> None:
    """A team's book names every child of it, and another case's packet other children."""
    printed, to = tmp_path / "printed.pdf", tmp_path / "late.zip"
    run("--store", store, "print", *paper, "--to", printed)
    told = run("--store", store, "evidence", "pack", CASE, "--packet", printed, "--to", to)
    assert f"not the packet of case {CASE}, but: " in str(told.exception)
    assert not to.exists()


def test_a_bundle_that_was_changed(store: Path, tmp_path: Path) -> None:
    to = tmp_path / "late.zip"
    assert run("--store", store, "evidence", "pack", CASE, "--no-packet", "--to", to).exit_code == 0
    with to.open("ab") as file:
        file.write(b"more")
    assert run("evidence", "check", to).exit_code == 1


def test_a_receipt_is_held_against_it(store: Path, tmp_path: Path) -> None:
    """That of another game is not in the bundle, and it says so."""
    to, own = tmp_path / "late.zip", tmp_path / "receipt.txt"
    own.write_bytes(receipt())
    run("--store", store, "evidence", "pack", CASE, "--no-packet", "--to", to)
    told = run("evidence", "check", to, "--receipt", own)
    assert "does not show the moment of your receipt" in str(told.exception)
    run("--store", store, "evidence", "pack", CASE, "--no-packet", "--to", to, "--receipt", own)
    told = run("evidence", "check", to, "--receipt", own)
    assert told.exit_code == 0
    assert "It continues your receipt" in told.output


def test_help_fits_and_has_an_example() -> None:
    for words in (("evidence",), ("evidence", "pack"), ("evidence", "check")):
        text = run(*words, "--help").output
        assert "Example: weighbook evidence " in text
        assert max(map(len, text.splitlines())) <= 80
