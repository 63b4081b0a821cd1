"""What is stated about a case: ids and defaults that are proposed, chains, and transactions."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from ledger.actions import cases
from ledger.actions.asking import Acting
from ledger.actions.cases import (
    GivenFile,
    add_to_case,
    close_case,
    hand_in,
    open_case,
    propose_case_id,
    refer_case,
    rule_case,
)
from ledger.actions.erasing import redact
from ledger.errors import FolderError, InputError, RuleError
from ledger.review.cases import look_up_case
from tests.review.cases_of import adds, opens, season
from tests.tiny import says

BY_SO = {"by": "so"}
WEIGH = {"by": "we", "reason": "weigh"}
WEIGHED_LATE = (
    says("weigh", at="2026-09-05T09:40", game="g1", team="ash", player="a1", value="ok"),
    says("late_weigh", at="2026-09-05T10:10", game="g1", team="ash", player="a2", value="over"),
)


def exhibit_names(store: cases.Store) -> list[str]:
    return sorted(store.exhibits().values())


# Opening


def test_ids_are_counted_a_day() -> None:
    assert propose_case_id([], "2026-09-14") == "case-2026-09-14-1"
    taken = {"case-2026-09-14-1", "case-2026-09-14-3", "case-2026-09-15-2"}
    assert propose_case_id(taken, "2026-09-14") == "case-2026-09-14-2"


def test_a_proposed_id_has_the_local_day_on_which_it_happened(tmp_path: Path) -> None:
    """2 o'clock in the morning in UTC is the evening before in Chicago."""
    with season(tmp_path, opens()) as store:
        given = WEIGH | {"at": "2026-09-15T02:00:00Z"}
        first = open_case(store, given)
        assert (first.case.case_id, first.alike) == ("case-2026-09-14-1", ())
        second = open_case(store, given)
        assert (second.case.case_id, second.alike) == ("case-2026-09-14-2", (first.case.case_id,))
        other = open_case(store, given | {"reason": "plays"}, case_id="my-own")
        assert (other.case.case_id, other.alike) == ("my-own", ())


def test_a_case_is_opened_once(tmp_path: Path) -> None:
    with season(tmp_path, opens()) as store:
        length = store.lengths()
        with pytest.raises(InputError, match="c1 was opened before, by office:") as caught:
            open_case(store, WEIGH, case_id="c1", acting=Acting("tablet"))
        assert store.lengths() == length
    assert "weighbook case show c1" in caught.value.hint


def test_an_id_names_no_child(tmp_path: Path) -> None:
    """Ottla Bramblewick's surname is refused; a first name may be a word of its own."""
    with season(tmp_path) as store:
        length = store.lengths()
        for case_id in ("bramblewick-weigh", "Ottla.BRAMBLEWICK"):
            with pytest.raises(InputError, match="contains a child's surname") as caught:
                open_case(store, WEIGH, case_id=case_id)
            assert "leave it out to get one" in caught.value.hint
        assert store.lengths() == length
        assert open_case(store, WEIGH, case_id="ottla-1").case.case_id == "ottla-1"


def test_what_is_not_understood_leaves_nothing(tmp_path: Path) -> None:
    with season(tmp_path) as store:
        length = store.lengths()
        for given, column in (
            ({"by": "we", "reason": "wheigh"}, "reason"),
            ({"by": "nobody", "reason": "weigh"}, "by"),
            (WEIGH | {"game": "g9"}, "game"),
            (WEIGH | {"at": "noon"}, "at"),
            (WEIGH | {"number": "2"}, "number"),
        ):
            with pytest.raises(FolderError) as caught:
                open_case(store, given)
            assert [fault.column for fault in caught.value.faults] == [column]
        with pytest.raises(FolderError):
            open_case(store, WEIGH, case_id="not an id")
        assert store.lengths() == length


# Chains


def test_a_statement_goes_to_the_chain_the_case_is_in(tmp_path: Path) -> None:
    with season(tmp_path) as store:
        tablet = open_case(store, WEIGH, case_id="c1", acting=Acting("tablet"))
        assert tablet.event_id.startswith("tablet:")
        for said in (
            add_to_case(store, "c1", BY_SO | {"note": "So."}),
            refer_case(store, "c1", BY_SO),
            rule_case(store, "c1", BY_SO | {"value": "denied"}),
        ):
            assert said.event_id.startswith("tablet:")
        with pytest.raises(InputError, match="c1 was not opened in chain office") as caught:
            close_case(store, "c1", BY_SO, acting=Acting("office"))
        assert caught.value.hint == "Use the case's own chain: --chain tablet."


# Passing on


def test_without_a_role_it_goes_to_the_next_reviewer(tmp_path: Path) -> None:
    with season(tmp_path, opens()) as store:
        assert refer_case(store, "c1", {"by": "we"}).role == "site_official"
        assert refer_case(store, "c1", BY_SO).role == "head_official"
        assert refer_case(store, "c1", {"by": "ho"}).role == "division_president"
        length = store.lengths()
        with pytest.raises(RuleError, match="no reviewer of c1 is left") as caught:
            refer_case(store, "c1", {"by": "dp"})
        assert store.lengths() == length
        assert "--to" in caught.value.hint
        assert refer_case(store, "c1", {"by": "dp", "to": "registrar"}).role == "registrar"


def test_a_reviewer_who_never_had_it_passes_it_on_to_the_one_after(tmp_path: Path) -> None:
    with season(tmp_path, opens()) as store:
        assert refer_case(store, "c1", {"by": "ho"}).role == "division_president"
        assert look_up_case(store, "c1").skipped == ("site_official",)


def test_an_unknown_role_is_told_which_there_are(tmp_path: Path) -> None:
    with season(tmp_path, opens()) as store, pytest.raises(FolderError) as caught:
        refer_case(store, "c1", BY_SO | {"to": "referee"})
    (fault,) = caught.value.faults
    assert (fault.column, fault.found) == ("to", "'referee'")
    assert "head_official" in fault.right


# Exhibits


def test_a_file_is_kept_by_its_digest(tmp_path: Path) -> None:
    """SHA-256 of "abc": FIPS 180-4, examples, quoted (NIST CSRC example values)."""
    file = GivenFile("sheet.txt", b"abc")
    digest = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    with season(tmp_path, opens()) as store:
        (first,) = hand_in(store, "c1", [file], BY_SO, digest_only=True)
        assert exhibit_names(store) == []
        (again,) = hand_in(store, "c1", [file, file], BY_SO)
        assert store.exhibits() == {digest: "sheet.txt"}
        exhibits = look_up_case(store, "c1").exhibits
    assert (first.sha256, first.is_kept, again.is_kept) == (digest, False, True)
    assert [(one.sha256, one.event_id) for one in exhibits] == [
        (digest, first.event_id), (digest, again.event_id),
    ]  # fmt: skip


def test_all_files_or_none(tmp_path: Path) -> None:
    file = GivenFile("sheet.txt", b"46: four plays")
    large = GivenFile("film.bin", bytes(64 * 1024 * 1024 + 1))
    with season(tmp_path, opens()) as store:
        length = store.lengths()
        with pytest.raises(InputError, match="67,108,865 bytes are too many"):
            hand_in(store, "c1", [file, large], BY_SO)
        with pytest.raises(FolderError):  # understood only when it is accepted
            hand_in(store, "c1", [file], {"by": "nobody"})
        assert (store.lengths(), exhibit_names(store)) == (length, [])


def test_a_large_file_is_stated_and_not_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cases, "EXHIBIT_BYTES", 8)
    file = GivenFile("film.bin", bytes(9))
    with season(tmp_path, opens()) as store:
        with pytest.raises(InputError, match="9 bytes are too many") as caught:
            hand_in(store, "c1", [file], BY_SO)
        assert "--digest-only" in caught.value.hint
        (done,) = hand_in(store, "c1", [file], BY_SO, digest_only=True)
    assert done.sha256 == hashlib.sha256(bytes(9)).hexdigest()


def test_what_was_redacted_stays_out(tmp_path: Path) -> None:
    file = GivenFile("sheet.txt", b"a name")
    with season(tmp_path, opens()) as store:
        (one,) = hand_in(store, "c1", [file], BY_SO)
        redact(store, one.sha256, b"-", "copy.txt", by="rg", reason="a name")
        (again,) = hand_in(store, "c1", [file], BY_SO)
        assert exhibit_names(store) == ["copy.txt"]
    assert not again.is_kept


# Ruling


def test_a_ruling_takes_whom_it_is_about_from_the_question(tmp_path: Path) -> None:
    with season(tmp_path, *WEIGHED_LATE, opens()) as store:
        done = rule_case(store, "c1", BY_SO | {"value": "upheld", "may_carry": "yes"})
    assert done.filled == {"game": "g1", "team": "ash", "player": "a2"}
    assert done.has_authority
    assert done.before is not None
    assert done.after is not None
    assert (done.before["may_carry"], done.before["basis"]) == ("no", "late_scale")
    assert (done.after["may_carry"], done.after["basis"]) == ("yes", "ruling")
    assert done.after["may_play"] == done.before["may_play"] == "second_half"


@pytest.mark.parametrize(
    ("given", "filled"),
    [
        ({"may_play": "none", "number": "1"}, {"game": "g1", "team": "ash"}),
        ({"may_play": "none", "team": "elm", "player": "e1"}, {"game": "g1"}),
        ({"may_play": "none", "game": "g2", "team": "ash", "player": "a1"}, {}),
        ({}, {}),
    ],
)
def test_what_is_given_stays(tmp_path: Path, given: dict[str, str], filled: dict[str, str]) -> None:
    """And a ruling that lets nobody play or carry names nobody by itself."""
    with season(tmp_path, *WEIGHED_LATE, opens()) as store:
        done = rule_case(store, "c1", BY_SO | {"value": "decided"} | given)
        event = next(one.event for one in store.events(kind=["ruling"]))
    assert done.filled == filled
    assert (event.game is None) is (not given)
    assert event.player == {"1": "a1", None: given.get("player")}.get(given.get("number"))


def test_a_question_about_no_child_cannot_fill_it_in(tmp_path: Path) -> None:
    with season(tmp_path, opens(player=None)) as store, pytest.raises(FolderError) as caught:
        rule_case(store, "c1", BY_SO | {"value": "upheld", "may_play": "full"})
    assert "game, team, and player" in str(caught.value)


def test_a_ruling_from_outside_is_kept_and_changes_nothing(tmp_path: Path) -> None:
    with season(tmp_path, *WEIGHED_LATE, opens()) as store:
        done = rule_case(store, "c1", {"by": "ap", "value": "upheld", "may_carry": "yes"})
        rules = {finding["rule"] for finding in look_up_case(store, "c1").findings}
    assert not done.has_authority
    assert done.before == done.after
    assert "ruling_without_authority" in rules


def test_ruled_and_closed_at_once_or_not_at_all(tmp_path: Path) -> None:
    with season(tmp_path, opens(), adds("case_statement")) as store:
        length = store.lengths()
        with pytest.raises(FolderError):
            rule_case(store, "c1", BY_SO | {"value": "perhaps"}, close=True)
        assert store.lengths() == length
        done = rule_case(store, "c1", BY_SO | {"value": "denied", "note": "No."}, close=True)
        assert store.lengths()["office"] == length["office"] + 2
    assert done.case.state == "closed"
    assert [entry.said for entry in done.case.timeline[-2:]] == ["No.", None]
