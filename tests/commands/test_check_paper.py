"""weighbook check paper.pdf: the verdict, its exit status, and what is said without a ledger."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest

from ledger.papers.press import heads
from tests.commands.conftest import Run
from tests.papers import spoiling


def test_the_same_and_not_the_same(run: Run, sample_ledger: Path, tmp_path: Path) -> None:
    at = ("--store", sample_ledger)
    assert run("print", "list", "acorn-1a", "newts", "--to", "list.pdf", *at).status == 0
    ran = run("check", "list.pdf", *at)
    assert (ran.status, ran.err) == (0, "")
    assert ran.out.startswith("Ineligible list: game acorn-1a, team newts.\nPrinted ")
    assert "Verdict: the same, byte for byte.\n" in ran.out
    answer = json.loads(run("check", "list.pdf", *at, "--format", "json").out)
    assert (answer["ok"], answer["verdict"], answer["page"]) == (True, "same", None)
    spoilt = spoiling.edited((tmp_path / "list.pdf").read_bytes(), spoiling.white_out)
    (tmp_path / "spoilt.pdf").write_bytes(spoilt)
    ran = run("check", "spoilt.pdf", *at)
    assert ran.status == 1
    assert "Verdict: different.\n" in ran.out
    ran = run("check", "spoilt.pdf", *at, "--format", "json")
    assert (ran.status, json.loads(ran.out)["page"]) == (1, 1)
    told = run("audit", "--since", "spoilt.pdf", *at)
    assert told.status == 0
    assert "use weighbook check spoilt.pdf" in " ".join(told.out.split())


def test_it_needs_its_ledger(run: Run, sample_ledger: Path, tmp_path: Path) -> None:
    run("print", "card", "--to", "card.pdf", "--store", sample_ledger)
    ran = run("check", "card.pdf")
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.splitlines() == [
        "there is no ledger at season.weighbook to compare the paper with",
        "Name the ledger: weighbook check card.pdf --store FILE. Proofs need none.",
    ]
    assert not (tmp_path / "season.weighbook").exists()
    ran = run("check", "card.pdf", "--all", "--store", sample_ledger)
    assert (ran.status, ran.err.splitlines()[0]) == (2, "--all does not work with a paper")


def test_the_clock_says_when_it_was_printed(
    run: Run, sample_ledger: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(heads, "now_utc", lambda: "2026-09-05T15:00:00.000Z")
    for name in ("a.pdf", "b.pdf"):
        run("print", "card", "--to", name, "--store", sample_ledger)
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()
    ran = run("check", "a.pdf", "--store", sample_ledger)
    assert "Printed Sat, Sep 5, 2026, 10:00 AM CDT (by that device's clock)" in ran.out


def test_the_packet_of_a_bundle(run: Run, sample_ledger: Path, tmp_path: Path) -> None:
    """Two bundles of one ledger have the same bytes, and their packet is the same made again."""
    for name in ("a.zip", "b.zip"):
        ran = run("evidence", "pack", "late-plays", "--to", name, "--store", sample_ledger)
        assert ran.status == 0
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()
    with zipfile.ZipFile(tmp_path / "a.zip") as bundle:
        (name,) = (name for name in bundle.namelist() if name.endswith("packet.pdf"))
        (tmp_path / "packet.pdf").write_bytes(bundle.read(name))
    ran = run("check", "packet.pdf", "--store", sample_ledger)
    assert (ran.status, ran.err) == (0, "")
