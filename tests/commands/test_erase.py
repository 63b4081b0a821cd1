"""weighbook erase, redact, retention: what they ask, refuse, and tell a person to deal with."""

from __future__ import annotations

import io
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from hashlib import sha256
from pathlib import Path

import pytest

from ledger.store import kept_files, retention, waiting
from ledger.store.erasure import events_of_child
from ledger.store.opening import open_store
from tests.commands.conftest import Run
from tests.tiny import LEAGUE, day, load, says

SeasonFolder = Callable[..., Path]

# Retention


@pytest.fixture
def kept_until_july(folder: SeasonFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The tiny season, to be kept until 1 July 2027; a July morning, and thirteen names."""
    rule = '[privacy]\nkeep_personal_until = "2027-07-01"\n'
    path = tmp_path / "tiny.weighbook"
    load(path, folder(league=LEAGUE + rule))
    monkeypatch.setattr(retention, "now_utc", lambda: "2027-07-02T12:00:00.000Z")
    return path


@pytest.mark.parametrize("on", ["20270702", "2027-W26-5", "2027-7-2", "2027-02-30", "July", ""])
def test_a_date_in_another_form_erases_nothing(run: Run, kept_until_july: Path, on: str) -> None:
    """As text, "20270101" comes after "2027-07-01"."""
    before = kept_until_july.read_bytes()
    words = ["--apply", "--by", "rg", "--yes", "--store", kept_until_july]
    ran = run("retention", "--on", on, *words)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith(f"--on: found '{on}'\n")
    assert "YYYY-MM-DD" in ran.err
    assert kept_until_july.read_bytes() == before


def test_a_day_that_has_not_come_is_shown_and_not_applied(run: Run, kept_until_july: Path) -> None:
    before = kept_until_july.read_bytes()
    words = ["--on", "2027-07-03", "--store", kept_until_july]
    assert "13 names and notes were to be kept" in run("retention", *words).out
    ran = run("retention", "--apply", "--by", "rg", "--yes", *words)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("--on 2027-07-03: that day has not come; nothing was erased\n")
    assert "Today is 2027-07-02." in ran.err
    assert kept_until_july.read_bytes() == before


def test_applying_the_rule_asks_first(
    run: Run, kept_until_july: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nobody can answer, nothing is erased; with --yes nothing is asked."""
    before = kept_until_july.read_bytes()
    monkeypatch.setattr("sys.stdin", io.StringIO())
    words = ["retention", "--apply", "--by", "rg", "--store", kept_until_july]
    ran = run(*words)
    assert ran.status == 130
    assert "Erase 13 texts? You cannot undo this. [y/N]:" in ran.out
    assert ran.err.endswith("Stopped. Nothing was recorded, and no file is half-written.\n")
    assert kept_until_july.read_bytes() == before
    assert "Erased 13 texts; recorded as office:" in run(*words, "--yes").out


def test_where_nothing_is_due_nothing_is_asked(run: Run, kept_until_july: Path) -> None:
    words = ["--on", "2027-07-01", "--store", kept_until_july]
    ran = run("retention", "--apply", "--by", "rg", *words)
    assert (ran.status, ran.err) == (0, "")
    assert ran.out == "Names and notes are kept until 2027-07-01: 13 texts are held.\n"


def test_one_text_is_told_as_one(run: Run, kept_until_july: Path) -> None:
    with closing(sqlite3.connect(kept_until_july)) as connection, connection:
        connection.execute("delete from disclosure where seq > (select min(seq) from disclosure)")
    words = ["retention", "--store", kept_until_july]
    told = "Names and notes are kept until 2027-07-01: 1 text is held.\n"
    assert run(*words, "--on", "2027-07-01").out == told
    assert run(*words).out == "1 name or note was to be kept until 2027-07-01: due now.\n"


@pytest.mark.parametrize("command", ["retention --apply", "erase a1 --reason asked"])
def test_an_unknown_official_is_told_before_anything_is_asked(
    run: Run, kept_until_july: Path, command: str
) -> None:
    ran = run(*command.split(), "--by", "nobody", "--store", kept_until_july)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("no official nobody in this ledger\n")


# What is left for a person


def test_what_may_still_name_the_child_is_told_with_what_can_be_done(
    run: Run, folder: SeasonFolder, tmp_path: Path
) -> None:
    lines = [
        says("half", game="g1", half=1, note="Pip was cold."),
        says("case_open", case="pip", reason="other", game="g1", team="ash", player="a1"),
        says("enter_player", player="a9", name="Pip Quillfeather"),
        says("initial", game="g1", team="elm", player="e1", value="ok", initials="PIP"),
    ]
    path = tmp_path / "tiny.weighbook"
    load(path, folder(day=day(*lines)))
    with closing(open_store(path)) as store, store.writing() as writing:
        writing.keep_exhibit(DIGEST, "pip\x1b.jpg", SHEET)
        kinds = ["half", "case_open", "initial"]
        note, opening, mark = (stored.event.id for stored in store.events(kind=kinds))
    words = ["erase", "a1", "--by", "rg", "--yes", "--store", path]
    ran = run(*words, "--reason", "Pip asked")
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("--reason: it names the child\n")
    ran = run(*words, "--reason", "asked")
    assert ran.out.splitlines()[-1].startswith("Not signed: rg had no key yet.")
    assert ran.out.splitlines()[:-2] == [
        "These may still name the child. Please deal with them:",
        "- the season folder: players.csv",
        f"- file pip\ufffd.jpg: {DIGEST}",
        "  (to replace one with a redacted copy: weighbook redact SHA256 FILE)",
        f"- the name, or a part of it, in {note}: half, note",
        "  (read them: weighbook prove EVENT --disclose name,note,reason --to FILE,",
        "  weighbook check FILE; then: weighbook erase a1 --note-of EVENT …)",
        "- a9 has the same name (the same child? weighbook erase a9)",
        f"- the case pip, since {opening}: it stays in the ledger",
        f"- the initials PIP, since {mark}: it stays in the ledger",
        "- printed papers, and scans of them elsewhere",
        "- backups and copies of the ledger, and proofs and bundles already handed out",
    ]
    run("prove", note, "--disclose", "name,note,reason", "--to", "one.proof", "--store", path)
    assert f"{note}, note: Pip was cold." in run("check", "one.proof").out
    ran = run(*words, "--reason", "asked", "--note-of", note)
    assert ran.out.splitlines()[-2].startswith("Erased 1 text; recorded as office:")
    assert "- other texts: the ledger has no name of this child to look for\n" in ran.out


# Redaction

SHEET, COPY = b"46: four plays, says Pip", b"46: four plays, says ---"
DIGEST = sha256(SHEET).hexdigest()


@pytest.fixture
def with_exhibit(folder: SeasonFolder, tmp_path: Path) -> Path:
    """The tiny season; `sheet.txt` is an exhibit of the case c1, `copy.txt` its redacted copy."""
    lines = [
        says("case_open", case="c1", reason="protest", game="g1", team="ash", player="a1"),
        says("case_exhibit", case="c1", value=DIGEST),
    ]
    path = tmp_path / "tiny.weighbook"
    load(path, folder(day=day(*lines)))
    with closing(open_store(path)) as store, store.writing() as writing:
        writing.keep_exhibit(DIGEST, "sheet.txt", SHEET)
    (tmp_path / "sheet.txt").write_bytes(SHEET)
    (tmp_path / "copy.txt").write_bytes(COPY)
    return path


def redacting(digest: str, file: str, store: Path, by: str = "rg") -> list[object]:
    return ["redact", digest, file, "--by", by, "--reason", "a name", "--store", store]


@pytest.mark.parametrize("given", [DIGEST, DIGEST[:8], f"{DIGEST[:16]}…", DIGEST.upper()])
def test_an_exhibit_is_named_by_its_digest_or_the_beginning(
    run: Run, with_exhibit: Path, given: str
) -> None:
    ran = run(*redacting(given, "copy.txt", with_exhibit))
    assert ran.out.startswith("Kept the copy and deleted the old file; recorded as office:")
    with closing(open_store(with_exhibit)) as store:
        assert store.exhibits() == {sha256(COPY).hexdigest(): "copy.txt"}


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (DIGEST[:7], "is too short for an exhibit's SHA-256\nGive the first 8"),
        ("", "is too short for an exhibit's SHA-256\nGive the first 8"),
        ("0f" * 32, f"no exhibit {'0f' * 32} in this ledger\nweighbook erase lists"),
        (f"{DIGEST}0", f"no exhibit {DIGEST}0 in this ledger\nweighbook erase lists"),
        (DIGEST[:8], f"{DIGEST[:8]} matches 2 exhibits\nGive more characters: {DIGEST[:8]}"),
    ],
)
def test_a_beginning_that_fits_none_or_several(
    run: Run, with_exhibit: Path, given: str, told: str
) -> None:
    with closing(open_store(with_exhibit)) as store, store.writing() as writing:
        writing.keep_exhibit(DIGEST[:8] + "0" * 56, "like it", b"")
    before = with_exhibit.read_bytes()
    ran = run(*redacting(given, "copy.txt", with_exhibit))
    assert (ran.status, ran.out) == (2, "")
    assert told in ran.err
    assert with_exhibit.read_bytes() == before


@pytest.mark.parametrize(
    ("file", "by", "told"),
    [
        ("sheet.txt", "rg", "sheet.txt: this file is the exhibit itself, unchanged"),
        ("empty.txt", "rg", "empty.txt: this file is empty"),
        ("large.txt", "rg", "large.txt: more than 32 bytes are too many to keep"),
        ("copy.txt", "nobody", "no official nobody in this ledger"),
    ],
)
def test_what_is_no_redacted_copy_is_refused(
    run: Run, with_exhibit: Path, monkeypatch: pytest.MonkeyPatch, file: str, by: str, told: str
) -> None:
    """The exhibit itself once more: the audit would have missed it from then on."""
    monkeypatch.setattr(kept_files, "EXHIBIT_BYTES", 32)
    with_exhibit.with_name("empty.txt").write_bytes(b"")
    with_exhibit.with_name("large.txt").write_bytes(bytes(33))
    before = with_exhibit.read_bytes()
    ran = run(*redacting(DIGEST, file, with_exhibit, by))
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith(told)
    assert with_exhibit.read_bytes() == before


# Old bytes in the file


@contextmanager
def somebody_reading(path: Path) -> Iterator[None]:
    """Another program in the middle of reading: SQLite keeps for it what was there before."""
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("begin")
        other.execute("select count(*) from disclosure").fetchone()
        yield


@pytest.fixture
def not_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(waiting, "STEP_SECONDS", 0)


STILL_THERE = "but the old bytes are not gone yet: another program is reading the ledger's file"


def bytes_of(path: Path) -> bytes:
    """Of the ledger's file and those beside it."""
    return b"".join(file.read_bytes() for file in path.parent.glob(f"{path.name}*"))


@pytest.mark.usefixtures("not_waiting")
@pytest.mark.parametrize(
    ("command", "again"),
    [
        (
            "erase a1 --reason asked --by rg --yes",
            "There is nothing left to erase, and the ledger file",
        ),
        ("retention --apply --by rg --yes", "none are left."),
    ],
)
def test_an_erasure_while_somebody_reads_is_finished_by_the_same_command_again(
    run: Run, kept_until_july: Path, command: str, again: str
) -> None:
    with closing(open_store(kept_until_july)) as store:
        about = [event.id for event in events_of_child(store, "a1")]
        (name,) = [row.text.encode() for row in store.disclosures(about)]
    words = [*command.split(), "--store", kept_until_july]
    with somebody_reading(kept_until_july):
        ran = run(*words)
        assert ran.status == 3
        assert ran.err.startswith("it is erased and recorded as office:")
        assert STILL_THERE in ran.err
        assert "Close other programs that use the ledger" in ran.err
        assert "run the same command again" in ran.err
        assert name in bytes_of(kept_until_july)
        ran = run(*words)
        assert ran.status == 3
        assert f"there is nothing left to erase, {STILL_THERE}" in ran.err
    ran = run(*words)
    assert (ran.status, ran.err) == (0, "")
    assert again in ran.out
    assert name not in bytes_of(kept_until_july)


@pytest.mark.usefixtures("not_waiting")
def test_a_redaction_while_somebody_reads_is_finished_by_the_same_command_again(
    run: Run, with_exhibit: Path
) -> None:
    words = redacting(DIGEST, "copy.txt", with_exhibit)
    with somebody_reading(with_exhibit):
        first, second = run(*words), run(*words)
        assert SHEET in bytes_of(with_exhibit)
    assert first.status == second.status == 3
    assert first.err == second.err
    assert first.err.startswith("the copy is kept and recorded as office:")
    assert STILL_THERE in first.err
    third = run(*words)
    assert (third.status, third.err) == (0, "")
    assert SHEET not in bytes_of(with_exhibit)
    with closing(open_store(with_exhibit)) as store:
        assert len(list(store.events(kind=["redaction"]))) == 1
