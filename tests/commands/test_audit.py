"""weighbook audit: exit status, words, and the answer as JSON (sql/README.md, section 11)."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from tests.audit.unguarded import unguarded
from tests.commands.conftest import Run
from tests.tiny import load


def test_a_whole_ledger_is_status_0(run: Run, sample_ledger: Path) -> None:
    ran = run("audit", "--store", sample_ledger)
    assert (ran.status, ran.err) == (0, "")
    assert "Checked 7,346 of 7,346 events." in ran.out
    assert "Nothing in this ledger contradicts itself" in ran.out
    assert "0 keys of officials, 0 signatures with a key, 0 in ink" in ran.out
    assert "countersigned: no" in ran.out
    answer = json.loads(run("audit", "--store", sample_ledger, "--format", "json").out)
    assert (answer["ok"], answer["events"], answer["problems"]) == (True, 7346, [])
    assert [chain["chain"] for chain in answer["chains"]] == ["office"]


def test_one_text_and_one_file_are_one(
    run: Run, folder: Callable[..., Path], tmp_path: Path
) -> None:
    officials = "official,name,role,team\nso,Ada Whinberry,site_official,\n"
    players = "player,team,number,name\na1,ash,1,\n"
    load(tmp_path / "season.weighbook", folder(officials=officials, players=players))
    (tmp_path / "sheet.txt").write_text("invented\n")
    assert run("case", "open", "c1", "--reason", "plays", "--by", "so").status == 0
    assert run("case", "exhibit", "c1", "sheet.txt", "--by", "so").status == 0
    assert "1 text (0 erased), 1 file (0 redacted)" in run("audit").out


def test_a_changed_byte_is_status_1_and_names_the_event(run: Run, sample_copy: Path) -> None:
    with unguarded(sample_copy) as connection:
        connection.execute(
            "update event set body = replace(body, '\"v\":1', '\"v\":2') where seq = 400"
        )
    ran = run("audit", "--store", sample_copy)
    assert (ran.status, ran.err) == (1, "")
    assert "office:400  altered: its bytes do not give its hash" in ran.out
    assert "This ledger was changed after it was written, or damaged" in ran.out
    assert [line for line in ran.out.splitlines() if len(line) > 80] == []
    ran = run("audit", "--store", sample_copy, "--format", "json")
    assert ran.status == 1
    answer = json.loads(ran.out)
    assert answer["ok"] is False
    assert {(problem["chain"], problem["seq"]) for problem in answer["problems"]} == {
        ("office", 400)
    }
