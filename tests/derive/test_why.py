"""Why a player may play and carry: eleven situations in one tiny season, in people's words.

`tests/golden/why.txt` is the whole text of each. To write it again after a change of words:
WEIGHBOOK_UPDATE_GOLDEN=1 python -m pytest tests/derive/test_why.py, then read it aloud.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from ledger.derive.scope import read_game
from ledger.derive.why import Why, explain
from ledger.derive.why_facts import Right
from ledger.errors import InputError
from ledger.record.folder import read_folder
from ledger.say.lines import paragraph
from ledger.say.names import Names
from ledger.say.why import sentence, why_content, why_lines
from ledger.say.would_change import would_change
from ledger.store.loading import load_folder
from ledger.store.sqlite.store import SqliteStore
from tests.derive.season_cases import empty_store

SEASON = Path(__file__).parent / "why_season"
GOLDEN = Path(__file__).parents[1] / "golden" / "why.txt"
RECORDED = "2026-09-13T15:00:00.000Z"
ZONE = "America/Chicago"
SITUATIONS = {
    "late": ("g1", 1),
    "struck off": ("g1", 2),
    "broken scale, with a mark": ("g2", 3),
    "broken scale, without a mark": ("g2", 4),
    "ruling": ("g1", 5),
    "withdrawn": ("g1", 6),
    "second weigh": ("g1", 7),
    "absent": ("g1", 8),
    "injured": ("g1", 9),
    "after the half": ("g1", 10),
    "unlisted": ("g1", 30),
}


@pytest.fixture(scope="module")
def store() -> SqliteStore:
    return loaded(SEASON)


def loaded(folder: Path) -> SqliteStore:
    """The folder in a ledger in memory with a stopped clock."""
    store = empty_store()
    store.clock = lambda: RECORDED
    with store.writing() as writing:
        load_folder(writing, read_folder(folder), chain="office")
    return store


def why(store: SqliteStore, game: str, number: int, **moment: str) -> Why:
    return explain(read_game(store, game, **moment), game, team="ash", number=number, **moment)


def test_golden(store: SqliteStore) -> None:
    parts = []
    for situation, (game, number) in SITUATIONS.items():
        names = Names(store, [stored.event for stored in read_game(store, game)])
        lines = why_lines(why(store, game, number), names.of)
        text = "\n".join(paragraph(x.text, indent=x.indent, hang=x.hang) for x in lines)
        parts.append(f"{'=' * 10} {situation} {'=' * 10}\n{text}\n")
    whole = "\n".join(parts)
    if os.environ.get("WEIGHBOOK_UPDATE_GOLDEN"):
        GOLDEN.write_text(whole, encoding="utf-8")
    assert whole == GOLDEN.read_text(encoding="utf-8")


def test_no_code_and_no_name_of_a_child_in_any_sentence(store: SqliteStore) -> None:
    for game, number in SITUATIONS.values():
        text = sentence(why(store, game, number), ZONE)
        assert "_" not in text
        assert "Invented Child" not in str(why_content(why(store, game, number), str))


def test_the_same_content_in_json(store: SqliteStore) -> None:
    content = why_content(why(store, "g1", 5), str)
    assert (content["may_play"], content["may_carry"], content["basis"]) == (
        "full",
        "yes",
        "ruling",
    )
    assert content["listed"] == ["over"]
    ruling = content["rests_on"][-1]
    assert ruling["what"] == "Ruling in case twig: the player may carry the ball"
    assert ruling["by"]["roles"] == ["site official"]
    assert ruling["recorded"] == RECORDED


def test_what_was_withdrawn_is_derived_again_without_the_withdrawal(store: SqliteStore) -> None:
    (undone,) = why(store, "g1", 6).undone
    assert (undone.statement.says["value"], undone.without) == ("over", Right("full", "no"))


def test_without_the_ruling(store: SqliteStore) -> None:
    ruled = why(store, "g1", 5)
    assert ruled.by_rules == Right("full", "no")
    without = "the player would have played the whole game but could not have carried the ball"
    assert would_change(ruled, ZONE) == [
        f"Without the ruling, {without}.",
    ]


def test_as_of_a_moment(store: SqliteStore) -> None:
    before = why(store, "g1", 5, as_of="2026-09-05T14:57:00.000Z")
    assert before.right == Right("full", "no")
    content = why_content(before, str)
    assert (
        content["shown"] == "This is what people had written down by Sat, Sep 5, 2026, 9:57 AM CDT."
    )
    early = why(store, "g1", 1, as_of="2026-09-05T15:00:00.000Z")
    assert sentence(early, ZONE) == (
        "Number 1 of Ash does not play in this game: the player has not been weighed and is on no"
        " list."
    )


def test_before_anybody_is_weighed_nothing_is_decided(store: SqliteStore) -> None:
    early = why(store, "g1", 1, as_of="2026-09-05T14:00:00.000Z")
    assert sentence(early, ZONE) == (
        "Number 1 of Ash: nobody on the team has been weighed yet, so nothing is decided."
    )
    listed = why(store, "g1", 2, as_of="2026-09-05T14:20:00.000Z")
    assert sentence(listed, ZONE) == (
        "Number 2 of Ash may not play yet: the player is listed as absent and has not been weighed."
    )


def test_known_at_goes_by_the_ledgers_clock(store: SqliteStore) -> None:
    """The tables were loaded with the lines; before that, the ledger had no such game."""
    with pytest.raises(InputError, match=r"g1 was not in the ledger yet.*known-at") as caught:
        why(store, "g1", 5, known_at="2026-09-13T14:59:59.999Z")
    assert "since 2026-09-13T15:00:00.000Z" in caught.value.hint
    known = why(store, "g1", 5, known_at=RECORDED)
    assert "recorded by Sun, Sep 13, 2026, 10:00 AM CDT" in why_content(known, str)["shown"]


@pytest.mark.parametrize(
    ("who", "message"),
    [
        ({"player": "c99"}, "c99 is not among the players of g1"),
        ({"team": "elm", "number": 5}, "elm 5 is not among the players of g1"),
        ({"team": "elm"}, "no player is given"),
        ({"number": 1}, "no player is given"),
        ({}, "no player is given"),
    ],
)
def test_no_such_row(store: SqliteStore, who: dict[str, Any], message: str) -> None:
    with pytest.raises(InputError) as caught:
        explain(read_game(store, "g1"), "g1", **who)
    assert caught.value.message == message
    assert caught.value.hint
