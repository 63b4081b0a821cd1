"""What a bundle holds, and what it keeps to itself."""

from __future__ import annotations

import csv
import io
import zipfile
from hashlib import sha256
from pathlib import Path

import bagit
import pytest

from ledger.errors import InputError
from ledger.review.evidence.check import check_bundle
from ledger.review.evidence.pack import pack_case
from ledger.review.evidence.scope import WORDS, case_statements
from ledger.say.bundles import bundle_texts
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.disclosing import parse_words
from tests.make_sample_season import FOLDER
from tests.review.evidence.conftest import GAME, Bundle
from tests.sample.office import EXHIBIT
from tests.signed_season import CASE

NAMED = "k529"
"""The child that the case is about."""


def names() -> dict[str, str]:
    with (FOLDER / "players.csv").open(encoding="utf-8", newline="") as lines:
        return {row["player"]: row["name"] for row in csv.DictReader(lines) if row["name"]}


def rows(files: dict[str, bytes], table: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(files[f"data/answers/{table}.csv"].decode())))


def test_it_holds_by_our_own_check(bundle: Bundle) -> None:
    checked = check_bundle(bundle.files, bundle_texts)
    assert checked.checked.differences == ()
    assert (checked.case, checked.packet) == (CASE, True)
    assert checked.exhibits == (sha256(EXHIBIT.encode()).hexdigest(),)


def test_the_same_ledger_gives_the_same_bytes(ledger: SqliteStore) -> None:
    assert pack_case(ledger, CASE, bundle_texts).data == pack_case(ledger, CASE, bundle_texts).data


def test_it_is_a_zip_and_a_bag_to_others(bundle: Bundle, tmp_path: Path) -> None:
    """RFC 8493, by the `bagit` library; not the only referee: it takes white space in manifests."""
    with zipfile.ZipFile(io.BytesIO(bundle.packed.data)) as file:
        assert file.testzip() is None
        file.extractall(tmp_path)
    (folder,) = tmp_path.iterdir()
    bag = bagit.Bag(str(folder))
    bag.validate()
    assert bag.info["External-Identifier"] == CASE
    assert sorted(bag.algorithms) == ["sha256", "sha512"]


def test_all_that_was_asked_for_is_in_it(bundle: Bundle) -> None:
    paths = {path.removeprefix("data/") for path in bundle.files if path.startswith("data/")}
    tables = ("cases", "case_timeline", "eligibility", "exposure", "findings", "ineligible_list",
              "list_signatures", "statements")  # fmt: skip
    assert {f"answers/{table}.csv" for table in tables} <= paths
    assert {"packet.pdf", "events.json", "checkpoint.txt", "keys.txt", "certification.txt",
            "README.txt", "check_bundle.py", "answers/dictionary.txt"} <= paths  # fmt: skip
    assert bundle.files[f"data/exhibits/{sha256(EXHIBIT.encode()).hexdigest()}.txt"]
    signed = [path for path in paths if path.startswith("checkpoints/")]
    assert len(signed) == 4  # one for each countersignature of the game


def test_every_column_is_in_the_dictionary(bundle: Bundle) -> None:
    dictionary = bundle.files["data/answers/dictionary.txt"].decode()
    for path, content in bundle.files.items():
        if path.endswith(".csv"):
            (columns, *_) = csv.reader(io.StringIO(content.decode()))
            table = dictionary.split(f"\n{Path(path).stem}\n")[1]
            for column in columns:
                assert f"\n  {column} " in table, (path, column)
    assert "apostrophe" in dictionary
    assert max(map(len, dictionary.splitlines())) <= 80


def test_the_answers_are_of_this_game_and_case(bundle: Bundle) -> None:
    assert {row["game"] for row in rows(bundle.files, "eligibility")} == {GAME}
    assert {row["case_id"] for row in rows(bundle.files, "case_timeline")} == {CASE}
    assert {row["game"] for row in rows(bundle.files, "findings")} <= {GAME}


def test_what_the_answers_rest_on_is_proved(bundle: Bundle) -> None:
    proved = {row["event_id"] for row in rows(bundle.files, "statements")}
    named = {i for row in rows(bundle.files, "eligibility") for i in row["events"].split()}
    assert named
    assert named <= proved


@pytest.mark.parametrize("words", [(), ("note",), ("name",), ("name", "game")], ids=str)
def test_only_chosen_names_are_in_it(ledger: SqliteStore, words: tuple[str, ...]) -> None:
    """Every byte of the bundle is looked at, not only where names belong."""
    data = pack_case(ledger, CASE, bundle_texts, words=words).data
    shown = {player for player, name in names().items() if name.encode() in data}
    if "name" not in words:
        assert not shown
    elif "game" not in words:
        assert shown == {NAMED}
    else:
        assert 30 < len(shown) < 60


def test_other_children_and_games_stay_out(bundle: Bundle) -> None:
    statements = rows(bundle.files, "statements")
    assert {row["game"] for row in statements if row["happened_at"]} - {GAME, ""} == set()
    children = {row["player"] for row in statements if row["player"]}
    assert children <= {row["player"] for row in rows(bundle.files, "eligibility")}


def test_remarks_of_the_case_only(ledger: SqliteStore) -> None:
    data = pack_case(ledger, CASE, bundle_texts, words=("note",)).data
    assert b"I sent the child in too early" in data


def test_an_exhibit_is_named_by_its_digest(bundle: Bundle) -> None:
    """What a file was called may name a child."""
    assert not [path for path in bundle.files if "sheet" in path]
    assert b"sheet.txt" not in bundle.packed.data


def test_a_case_without_a_game(ledger: SqliteStore) -> None:
    cases = {s.event.data["case"] for s in ledger.events(kind=["case_open"])}
    without = [c for c in sorted(cases) if not any(e.game for e in case_statements(ledger, c))]
    for case in without[:1] or [CASE]:
        assert pack_case(ledger, case, bundle_texts).checked.ok


def test_an_unknown_case_and_word_are_refused(ledger: SqliteStore) -> None:
    with pytest.raises(InputError, match="no case"):
        pack_case(ledger, "late-playz", bundle_texts)
    with pytest.raises(InputError, match="birthday"):
        parse_words("name birthday", WORDS)


def test_the_papers_fit_a_page_and_leave_the_rest_to_people(bundle: Bundle) -> None:
    for name in ("README.txt", "certification.txt"):
        text = bundle.files[f"data/{name}"].decode()
        long = [line for line in text.splitlines() if len(line) > 80]
        # A key or a digest is one word; it is there to be copied.
        assert not [line for line in long if " " in line.removeprefix("  - ").strip()], name
    certification = bundle.files["data/certification.txt"].decode()
    assert "Local law" in certification
    assert "902(13)" in certification
    events = sha256(bundle.files["data/events.json"]).hexdigest()
    assert events in certification
