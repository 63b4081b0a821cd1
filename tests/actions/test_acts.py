"""Keys, signing, erasing, loading, proofs, evidence and status, each without a command line."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.actions.asking import Acting, AskAboutTextsError, AskPassphraseError
from ledger.actions.entries import record
from ledger.actions.erasing import (
    due_by_rule,
    erase_child,
    erase_due,
    look_before_erasing,
    redact,
)
from ledger.actions.evidence import check_packet, pack_evidence
from ledger.actions.keys import enroll, revoke
from ledger.actions.loading import load
from ledger.actions.proving import prove
from ledger.actions.signing import show_list, sign_in_ink, sign_with_key
from ledger.actions.status import status
from ledger.chain.note import parse_note
from ledger.errors import InputError, RuleError
from ledger.record.folder import read_folder
from ledger.store.opening import open_store
from ledger.witness.check import check_proof
from ledger.witness.proof import unpack_proof
from tests.review.cases_of import opens, season
from tests.tiny import LEAGUE, day, says, tiny_store

Folder = Callable[..., Path]
SECRET = "a sunny morning"
OPEN = frozenset({"noncarrier_not_listed", "noncarrier_not_striped", "unaccounted"})
SIGNING = Acting(passphrase=SECRET, despite=OPEN)
WEIGHED = says("weigh", game="g1", team="ash", number=1, value="over", note="Limps a little.")
LISTED = says("list", game="g1", team="ash", number=1, reason="over")


def test_a_key_is_made_with_a_new_passphrase_and_ends(folder: Folder) -> None:
    with tiny_store(folder()) as store:
        with pytest.raises(AskPassphraseError) as asked:
            enroll(store, "we", by="rg")
        assert (asked.value.official, asked.value.is_new) == ("we", True)
        made = enroll(store, "we", by="rg", acting=Acting(new_passphrase=SECRET))
        assert made.public.startswith("we@invented-league/2026/office+")
        assert (made.act.by, made.act.is_signed) == ("rg", False)
        with pytest.raises(AskPassphraseError):  # we has a key now, and signs with it
            revoke(store, "we", by="we", reason="lost")
        ended = revoke(store, "we", by="we", reason="lost", acting=Acting(passphrase=SECRET))
        assert ended.is_signed
        with pytest.raises(RuleError, match="we has no key in force"):
            revoke(store, "we", by="rg", reason="lost")


def test_a_list_is_signed_as_it_was_shown(folder: Folder) -> None:
    with tiny_store(folder(day=day(WEIGHED, LISTED))) as store:
        enroll(store, "we", by="rg", acting=Acting(new_passphrase=SECRET))
        shown = show_list(store, "g1", "ash", "we")
        assert [row["player"] for row in shown.shown.rows] == ["a1"]
        assert (shown.forged, shown.has_signed) == (frozenset(), False)
        with pytest.raises(AskPassphraseError):
            sign_with_key(store, shown.shown, Acting(despite=OPEN))
        signed = sign_with_key(store, shown.shown, SIGNING)
        assert signed.receipt is not None
        assert len(parse_note(signed.receipt).signatures) == 2  # the chain's, the official's
        assert show_list(store, "g1", "ash", "we").has_signed
        with pytest.raises(RuleError, match="wa has no key in force"):
            sign_with_key(store, show_list(store, "g1", "ash", "wa").shown)
        mine = show_list(store, "g1", "ash", "wa").shown
        kept = sign_in_ink(store, mine, PNG, "sheet.png", SIGNING)
        assert kept.receipt is None
        record(store, [says("list", game="g1", team="ash", number=2, reason="over")])
        with pytest.raises(RuleError, match="the list changed while you were signing it"):
            sign_with_key(store, shown.shown, SIGNING)


PNG = b"\x89PNG\r\n\x1a\n" + bytes(16)


def test_what_an_erasure_leaves_is_shown_first(folder: Folder) -> None:
    with tiny_store(folder(day=day(WEIGHED))) as store:
        with pytest.raises(RuleError, match=r"may erase\. we is weighmaster"):
            look_before_erasing(store, "a1", by="we", reason="asked")
        with pytest.raises(InputError, match="it names the child"):
            look_before_erasing(store, "a1", by="rg", reason="Pip Quillfeather's mother asked")
        with pytest.raises(AskAboutTextsError):
            look_before_erasing(store, "a1", by="rg", reason="born March 5, 2014")
        shown = look_before_erasing(store, "a1", by="rg", reason="asked")
        assert shown.is_left
        assert shown.rest.files == ("days/01.csv", "players.csv")
        done = erase_child(store, shown)
        assert done is not None
        assert done.texts == 2  # the name, and the note
        again = look_before_erasing(store, "a1", by="rg", reason="asked")
        assert not again.is_left
        assert erase_child(store, again) is None


def test_what_is_due_by_the_rule_is_erased(folder: Folder) -> None:
    league = LEAGUE + '[privacy]\nkeep_personal_until = "2026-01-31"\n'
    with tiny_store(folder(league=league)) as store:
        with pytest.raises(InputError, match="that day has not come"):
            due_by_rule(store, on="2999-01-01", to_erase=True)
        assert due_by_rule(store, on="2026-01-31").events == ()
        with pytest.raises(RuleError):
            due_by_rule(store, by="we")
        due = due_by_rule(store, by="rg", to_erase=True)
        done = erase_due(store, due, by="rg")
        assert done is not None
        assert done.texts == due.texts > 0
        assert erase_due(store, due_by_rule(store), by="rg") is None


def test_a_copy_takes_the_place_of_a_scan(folder: Folder) -> None:
    with tiny_store(folder(day=day(LISTED))) as store:
        sign_in_ink(store, show_list(store, "g1", "ash", "we").shown, PNG, "sheet.png", SIGNING)
        (digest,) = store.exhibits()
        with pytest.raises(AskAboutTextsError):
            redact(store, digest, b"-", "95 lb.png", by="rg", reason="a name")
        act = redact(store, digest, b"-", "copy.png", by="rg", reason="a name")
        assert (act.by, act.is_signed) == ("rg", False)
        assert list(store.exhibits().values()) == ["copy.png"]


def test_a_folder_is_loaded_once_and_asked_about_once(folder: Folder, tmp_path: Path) -> None:
    where = tmp_path / "new.weighbook"
    contents = read_folder(folder(day=day(WEIGHED | {"note": "95 lb"})))
    with pytest.raises(AskAboutTextsError) as asked:
        load(where, contents)
    assert not where.exists()
    fine = Acting(fine=frozenset(asked.value.questions))
    assert load(where, contents, acting=fine).lines_added == 1
    assert load(where, contents).lines_added == 0  # what is held already is not asked about
    store = open_store(where)
    assert len(status(store).games) == 2
    store.close()


def test_a_proof_of_events_or_of_a_game(folder: Folder) -> None:
    with tiny_store(folder(day=day(WEIGHED, LISTED))) as store:
        whole = prove(store, game="g1", words={"note"})
        checked = check_proof(unpack_proof(whole.data))
        assert checked.ok
        assert (whole.entries, whole.texts) == (len(checked.events), 1)
        (event,) = (one.id for one in store.events(kind=["list"]))
        assert prove(store, events=[event]).texts == 0
        for wrong in ({}, {"game": "g1", "events": [event]}, {"game": "g9"}):
            with pytest.raises(InputError):
                prove(store, **wrong)  # type: ignore[arg-type]


def test_evidence_without_a_packet(tmp_path: Path) -> None:
    with season(tmp_path, opens()) as store:
        packed = pack_evidence(store, "c1", with_packet=False)
        assert packed.checked.ok
        assert b"evidence-c1/" in packed.data
    with pytest.raises(InputError, match=r"^mine\.pdf: "):
        check_packet(b"%PDF-1.7 nothing", "mine.pdf", "c1")


def test_status_counts(folder: Folder) -> None:
    with tiny_store(folder(day=day(WEIGHED, LISTED))) as store:
        enroll(store, "we", by="rg", acting=Acting(new_passphrase=SECRET))
        before = status(store)
        assert (before.league, before.season, before.zone) == (
            "Invented League", "2026", "America/Chicago",
        )  # fmt: skip
        assert before.entries == {"g1": 2, "g2": 0}
        assert [(one.team, one.association) for one in before.teams] == [
            ("ash", "grove"), ("elm", None),
        ]  # fmt: skip
        (office,) = before.chains
        assert (office.length, office.unwitnessed) == (store.lengths()["office"], office.length)
        assert office.since == next(store.events()).event.recorded
        assert before.signed == {}
        sign_with_key(store, show_list(store, "g1", "ash", "we").shown, SIGNING)
        after = status(store)
        assert (after.chains[0].unwitnessed, after.chains[0].since) == (0, None)
        assert [one.state for one in after.signed["g1"]["g1", "ash"]] == ["stands"]
        sheet = {"kind": "countersign", "game": "g2", "team": "elm", "by": "wa"}
        record(store, [sheet])
        assert status(store).signed["g2"] == {}
