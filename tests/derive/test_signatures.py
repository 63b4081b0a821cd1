"""What has changed in a signed list, judged by content and by what the signature covers.

The season is that of `tests.tiny`; ash's list of g1 is signed by `wa` and `we` with keys after a1
was weighed over and listed, and a2 was listed as absent.
"""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import pytest

from ledger.chain.canonical import canonical
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_game
from ledger.derive.signatures import Signatures, SignedList
from ledger.derive.signed_list import RULES, list_content, list_number
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.vouching import is_key_signature
from tests.signing import SIGNED_AT, Begun, Morning


def _sign(one: Morning) -> None:
    one.state("list", player="a2", reason="absent", by="wa")
    one.state("weigh", player="a1", value="over", by="we")
    one.state("initial", player="a1", value="over", initials="WE", by="we")
    one.state("list", player="a1", reason="over", by="we")
    one.sign("wa")
    one.sign("we")


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Begun:
    return Begun(tmp_path_factory.mktemp("signed"), _sign)


@pytest.fixture
def signed(begun: Begun, tmp_path: Path) -> Iterator[Morning]:
    with begun.copied(tmp_path / "signed.weighbook") as one:
        yield one


def signatures(store: SqliteStore, **moment: str) -> tuple[SignedList, ...]:
    events = read_game(store, "g1", **moment)
    engine = Engine(events, **moment)
    try:
        return Signatures(engine, events).of("g1", "ash")
    finally:
        engine.close()


def states(store: SqliteStore, **moment: str) -> list[str]:
    return [one.state for one in signatures(store, **moment)]


def behind(store: SqliteStore) -> list[tuple[str, ...]]:
    engine = Engine(read_game(store, "g1"))
    rows = find(engine, game="g1", rule="stated_behind_signature").dicts()
    engine.close()
    return [tuple(row["events"]) for row in rows]


def test_nothing_since(signed: Morning) -> None:
    assert states(signed.store) == ["stands", "stands"]


def test_what_does_not_touch_the_list_changes_nothing(signed: Morning) -> None:
    signed.state("plays", player="a1", half=1, count=4, by="pc")
    signed.state("stripe", player="a1", by="we")
    signed.state("weigh", team="elm", player="e1", value="ok", by="wa")
    assert states(signed.store) == ["stands", "stands"]


def test_a_late_child_never_looks_like_tampering(signed: Morning) -> None:
    late = signed.state("late_weigh", player="a2", value="ok", by="we")
    struck = signed.state("strike_off", player="a2", by="we")
    found = signatures(signed.store)
    assert [one.state for one in found] == ["late_arrivals", "late_arrivals"]
    (change,) = found[0].changes
    assert change.number == 2
    assert [told.event for told in change.statements] == [late, struck]
    assert behind(signed.store) == []


def test_a_late_child_who_is_over_is_listed_after_the_signatures(signed: Morning) -> None:
    signed.state("late_weigh", player="a2", value="over", by="we")
    signed.state("list", player="a2", reason="over", by="we")
    assert states(signed.store) == ["late_arrivals", "late_arrivals"]


def test_a_line_more_changes_what_was_signed(signed: Morning) -> None:
    signed.state("list", player="a2", reason="injured", by="wa")
    assert states(signed.store) == ["changed", "changed"]


def test_the_six_commands(signed: Morning) -> None:
    """Ordinary commands, each dated before the signatures and recorded after them."""
    early = {"at": "2026-09-05T14:20:00.000Z"}
    undone = [
        signed.state("withdraw", team=None, by="we", target=one, reason="slip", **early)
        for one in signed.events("weigh", "initial", "list", player="a1")
    ]
    again = signed.state("weigh", player="a1", value="ok", by="we", **early)
    mark = signed.state("initial", player="a1", value="ok", initials="WE", by="we", **early)
    found = signatures(signed.store)
    assert [one.state for one in found] == ["changed", "changed"]
    (change,) = found[0].changes
    assert change.before
    assert change.after
    assert (change.before["may_carry"], change.after["may_carry"]) == ("no", "yes")
    assert {told.event for told in change.statements} >= {again, undone[0]}
    assert behind(signed.store) == [(one,) for one in (*undone, again, mark)]


def test_a_late_weigh_dated_before_the_signature_is_a_change(signed: Morning) -> None:
    late = signed.state(
        "late_weigh", player="a2", value="ok", by="we", at="2026-09-05T14:20:00.000Z"
    )
    assert states(signed.store) == ["changed", "changed"]
    assert behind(signed.store) == [(late,)]


def test_a_change_that_was_taken_back_is_none(signed: Morning) -> None:
    mistaken = signed.state("list", player="a2", reason="injured", by="wa")
    signed.state("withdraw", team=None, by="wa", target=mistaken, reason="slip")
    assert states(signed.store) == ["stands", "stands"]


def test_another_chain_counts_as_after_whatever_its_clock(signed: Morning) -> None:
    signed.store.clock = lambda: "2026-09-05T13:00:00.000Z"
    other = signed.state(
        "list", player="a2", reason="injured", by="wa", chain="tent", at="2026-09-05T14:00:00.000Z"
    )
    assert states(signed.store) == ["changed", "changed"]
    assert behind(signed.store) == [(other,)]


def test_a_signature_on_the_sheet_is_no_better_off_under_a_faked_clock(signed: Morning) -> None:
    """What a later signature with a key does not cover also came after the sheet's."""
    sheet = signed.state("countersign", by="we")
    signed.sign("we")
    signed.store.clock = lambda: "2026-09-05T13:00:00.000Z"
    signed.state(
        "list", player="a2", reason="injured", by="wa", chain="tent", at="2026-09-05T14:00:00.000Z"
    )
    found = {one.event_id: one.state for one in signatures(signed.store)}
    assert found[sheet] == "changed"
    assert set(found.values()) == {"changed"}


def sheet_state(one: Morning, *, game: str = "g1", sheet: str) -> str:
    events = read_game(one.store, game)
    found = Signatures(Engine(events), events).of(game, "ash")
    return next(signed.state for signed in found if signed.event_id == sheet)


def test_a_late_child_after_a_signature_on_the_sheet(signed: Morning) -> None:
    sheet = signed.state("countersign", by="we")
    signed.state("late_weigh", player="a2", value="ok", by="we")
    signed.state("strike_off", player="a2", by="we")
    assert sheet_state(signed, sheet=sheet) == "late_arrivals"


def test_a_child_weighed_before_the_sheet_and_again_after_it_is_no_late_child(
    signed: Morning,
) -> None:
    sheet = signed.state("countersign", by="we")
    signed.state("late_weigh", player="a1", value="ok", by="we")
    assert sheet_state(signed, sheet=sheet) == "changed"


def test_what_is_on_no_list_changes_no_sheet(signed: Morning) -> None:
    sheet = signed.state("countersign", by="we")
    signed.state("plays", player="a1", half=1, count=4, by="pc")
    signed.state("weigh", team="elm", player="e1", value="ok", by="wa")
    assert sheet_state(signed, sheet=sheet) == "stands"


@pytest.mark.parametrize(
    ("value", "state"), [("no_scale", "changed"), ("ok", "stands")], ids=["book", "scale"]
)
def test_a_mark_in_the_book_changes_a_later_sheet_only_where_the_book_decides(
    signed: Morning, value: str, state: str
) -> None:
    week_later = "2026-09-12T14:10:00.000Z"
    signed.state("weigh", player="a2", value=value, by="we", game="g2", at=week_later)
    signed.state("weigh", player="a1", value="ok", by="we", game="g2", at=week_later)
    sheet = signed.state("countersign", by="we", game="g2", at=week_later)
    signed.store.clock = lambda: "2026-09-13T14:00:00.000Z"
    at = "2026-09-12T15:00:00.000Z"
    signed.state("initial", player="a2", value="ok", initials="WE", by="we", at=at)
    assert sheet_state(signed, game="g2", sheet=sheet) == state


@pytest.mark.parametrize("game", ["g1", "g2"])
def test_a_mark_in_the_book_of_no_earlier_game_changes_no_sheet(signed: Morning, game: str) -> None:
    """Later marks never decide, and no mark decides in its own game."""
    signed.state("weigh", player="a2", value="no_scale", by="we")
    sheet = signed.state("countersign", by="we")
    signed.store.clock = lambda: "2026-09-12T15:00:00.000Z"
    signed.state("initial", player="a2", value="ok", initials="WE", by="we", game=game,
                 at="2026-09-12T14:40:00.000Z")  # fmt: skip
    assert sheet_state(signed, sheet=sheet) == "stands"


@pytest.mark.parametrize(("by", "state"), [("so", "changed"), ("ap", "stands")])
def test_a_ruling_changes_a_sheet_only_with_authority(signed: Morning, by: str, state: str) -> None:
    sheet = signed.state("countersign", by="we")
    signed.state("case_open", by="ca", player="a1", case="again", reason="weigh")
    signed.state("ruling", by=by, player="a1", case="again", value="upheld", may_carry="yes")
    assert sheet_state(signed, sheet=sheet) == state


@pytest.mark.parametrize(("by", "state"), [("so", "changed"), ("ap", "stands")])
@pytest.mark.parametrize("is_before", [True, False], ids=["before", "after"])
def test_a_withdrawn_ruling_changes_a_sheet_only_with_authority(
    signed: Morning, by: str, state: str, *, is_before: bool
) -> None:
    """Only rulings that count were looked up, so a withdrawn one always looked like a change."""
    sheet = "" if is_before else signed.state("countersign", by="we")
    signed.state("case_open", by="ca", player="a1", case="again", reason="weigh")
    ruling = signed.state(
        "ruling", by=by, player="a1", case="again", value="upheld", may_carry="yes"
    )
    sheet = sheet or signed.state("countersign", by="we")
    signed.state("withdraw", team=None, by=by, target=ruling, reason="slip")
    assert sheet_state(signed, sheet=sheet) == state


def test_a_made_up_number_never_stands_beside_the_list(signed: Morning) -> None:
    content = signatures(signed.store)[0].content
    assert content
    signed.state("countersign", by="wa", how="key", form=2, rules=RULES, others={},
                 list="ab" * 32, shown=dict(content))  # fmt: skip
    assert sorted(states(signed.store)) == ["other", "stands", "stands"]


def test_a_withdrawn_signature_keeps_what_was_behind_it_visible(signed: Morning) -> None:
    for one in signed.events("countersign"):
        signed.state("withdraw", team=None, by="wa", target=one, reason="slip")
    early = signed.state(
        "list", player="a2", reason="other", by="wa", at="2026-09-05T14:20:00.000Z"
    )
    assert behind(signed.store) == [(early,)]


def test_two_lists_that_differ_in_a_cell_have_different_numbers(signed: Morning) -> None:
    numbers = set()
    for as_of in ("2026-09-05T14:00:00.000Z", "2026-09-05T14:01:00.000Z", SIGNED_AT):
        engine = Engine(read_game(signed.store, "g1"), as_of=as_of)
        numbers.add(list_number(list_content(engine, "g1", "ash")))
        engine.close()
    assert len(numbers) == 3


SPOILT = {
    "no rows": {"x": 1},
    "a text": "a list",
    "a row that is none": {"game": "g1", "team": "ash", "rows": [1], "lines": []},
    "a line without its keys": {"game": "g1", "team": "ash", "rows": [], "lines": [{}]},
}


@pytest.mark.parametrize("name", SPOILT)
def test_content_that_is_no_list_belongs_to_no_list(signed: Morning, name: str) -> None:
    shown: object = SPOILT[name]
    number = sha256(canonical(shown)).hexdigest()
    signed.state("countersign", by="wa", how="key", form=2, rules=RULES, others={},
                 list=number, shown=shown)  # fmt: skip
    assert sorted(states(signed.store)) == ["other", "stands", "stands"]


def test_a_signature_that_was_withdrawn_is_still_told(signed: Morning) -> None:
    (first, _) = signed.events("countersign")
    undone = signed.state("withdraw", team=None, by="wa", target=first, reason="slip")
    events = read_game(signed.store, "g1")
    engine = Engine(events)
    ((told, withdrawal),) = Signatures(engine, events).taken_back("g1", "ash")
    engine.close()
    assert (told.event, withdrawal.event) == (first, undone)


def test_an_event_that_only_claims_a_key_is_no_key_signature(signed: Morning) -> None:
    genuine, _ = signed.events("countersign")
    content = signatures(signed.store)[0].content
    assert content
    claimed = signed.state("countersign", by="wa", how="key", form=2, rules=RULES, others={},
                           list=list_number(content), shown=dict(content))  # fmt: skip
    assert is_key_signature(signed.store, genuine)
    assert not is_key_signature(signed.store, claimed)


def test_a_signature_that_counts_for_no_side_is_told(signed: Morning) -> None:
    """A coach's; those that count, and the line before it, are not told with it."""
    coachs = signed.state("countersign", by="ca")
    events = read_game(signed.store, "g1")
    engine = Engine(events)
    ((told, how),) = Signatures(engine, events).uncounted("g1", "ash")
    engine.close()
    assert (told.event, how) == (coachs, "sheet")
