"""Recording without a command line: one entry, several as one act, from paper, taken back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.actions.asking import Acting, AskAboutTextsError, AskDespiteError, AskPassphraseError
from ledger.actions.entries import TakeBackError, correct, record, take_back
from ledger.actions.keys import enroll
from ledger.audit.audit import audit
from ledger.derive.answers import ask
from ledger.errors import FolderError, InputError, RuleError
from ledger.say.recorded import recorded_lines
from ledger.store.snapshot import Snapshot
from ledger.store.store import Store
from tests.tiny import statements, tiny_store

Folder = Callable[..., Path]
ASH = {"game": "g1", "team": "ash", "by": "we"}
FIRST = ASH | {"kind": "weigh", "number": "1", "value": "ok"}
SECOND = ASH | {"kind": "weigh", "number": "2", "value": "over"}
LISTED = ASH | {"kind": "list", "number": "2", "reason": "over"}


def counted(store: Store) -> dict[str, str]:
    """Who was weighed in g1 by what counts: the basis by player."""
    rows = ask(store, "eligibility", game="g1").answer.dicts()
    return {row["player"]: row["may_carry"] for row in rows if row["basis"] == "scale"}


def test_entries_that_belong_together_are_one_act(folder: Folder) -> None:
    """All in one transaction: the ledger's clock is read once, and it knows them together."""
    with tiny_store(folder()) as store:
        done = record(store, [FIRST, SECOND, LISTED])
        events = [one.event for one in store.events_by_id(done.event_ids)]
        assert [event.kind for event in events] == ["weigh", "weigh", "list"]
        assert len({event.recorded for event in events}) == 1
        assert done.act is None
        assert counted(store) == {"a1": "yes", "a2": "no"}


def test_all_or_none_and_every_fault_names_its_entry(folder: Folder) -> None:
    with tiny_store(folder()) as store:
        length = store.lengths()
        with pytest.raises(FolderError) as caught:
            record(store, [FIRST, SECOND | {"value": "heavy"}, SECOND | {"at": "noon"}])
        where = [(fault.file, fault.column) for fault in caught.value.faults]
        assert where == [("entry 2", "value"), ("entry 3", "at")]
        with pytest.raises(FolderError, match="entry 2, number: found 7, which is not on the"):
            record(store, [FIRST, SECOND | {"number": "7"}])
        with pytest.raises(FolderError, match="\nnumber: found 7, which is not on the"):
            record(store, [SECOND | {"number": "7"}])
        assert store.lengths() == length


def test_a_warm_snapshot_serves_many_acts(folder: Folder) -> None:
    with tiny_store(folder()) as store:
        snapshot = Snapshot(store)
        first = record(store, [FIRST | {"ref": "r1"}], snapshot=snapshot)
        record(store, [ASH | {"kind": "withdraw", "target": "r1", "reason": "a slip"} | NO_GAME],
               snapshot=snapshot)  # fmt: skip
        assert statements(store)[-1].data["target"] == first.event_ids[0]


NO_GAME = {"game": None, "team": None}


def test_an_act_is_taken_back_whole_and_restored(folder: Folder) -> None:
    with tiny_store(folder()) as store:
        done = record(store, [FIRST, SECOND], Acting("tablet"))
        back = take_back(store, done.event_ids, by="we", reason="the wrong child")
        withdrawn = [one.event for one in store.events_by_id(back.event_ids)]
        assert [event.data["target"] for event in withdrawn] == [*done.event_ids]
        assert {event.chain for event in withdrawn} == {"tablet"}  # the act's own
        assert len({event.recorded for event in withdrawn}) == 1
        assert counted(store) == {}
        take_back(store, back.event_ids, by="we", reason="it was the right child")
        assert counted(store) == {"a1": "yes", "a2": "no"}


def test_what_cannot_be_taken_back_is_named(folder: Folder) -> None:
    with tiny_store(folder()) as store:
        own = record(store, [FIRST]).event_ids
        theirs = record(store, [SECOND | {"by": "so"}]).event_ids
        length = store.lengths()
        with pytest.raises(TakeBackError, match=r"not entries of we: office:\d+ \(so\)") as caught:
            take_back(store, [*own, *theirs], by="we", reason="a slip")
        assert caught.value.event_ids == theirs
        with pytest.raises(InputError, match="no event office:999"):
            take_back(store, ["office:999"], by="we", reason="a slip")
        with pytest.raises(InputError, match="no entries to take back"):
            take_back(store, [], by="we", reason="a slip")
        assert store.lengths() == length
        take_back(store, own, by="we", reason="a slip")
        with pytest.raises(TakeBackError, match="taken back before: office:") as caught:
            take_back(store, own, by="we", reason="a slip")
        assert caught.value.event_ids == own


def test_a_correction_is_one_act(folder: Folder) -> None:
    with tiny_store(folder()) as store:
        wrong = record(store, [FIRST, SECOND]).event_ids
        length = store.lengths()
        with pytest.raises(FolderError):
            correct(store, wrong, [FIRST | {"value": "heavy"}], by="we", reason="a slip")
        assert store.lengths() == length
        done = correct(store, wrong, [FIRST | {"value": "over"}], by="we", reason="a slip")
        kinds = [one.event.kind for one in store.events_by_id(done.event_ids)]
        assert kinds == ["weigh", "withdraw", "withdraw"]
        assert counted(store) == {"a1": "no"}
        take_back(store, done.event_ids, by="we", reason="it was right at first")
        assert counted(store) == {"a1": "yes", "a2": "no"}


def test_it_asks_about_texts_before_it_writes(folder: Folder) -> None:
    entry = FIRST | {"note": "95 lb at home"}
    with tiny_store(folder()) as store:
        length = store.lengths()
        with pytest.raises(AskAboutTextsError) as asked:
            record(store, [entry])
        (question,) = asked.value.questions
        assert (question.column, question.words) == ("note", ("95 lb",))
        with pytest.raises(AskAboutTextsError):  # an answer is for the texts it was asked about
            record(store, [entry | {"note": "94 lb"}], Acting(fine=frozenset({question})))
        assert store.lengths() == length
        record(store, [entry], Acting(fine=frozenset({question})))
        assert store.lengths() != length


def test_closing_the_season_needs_a_role_and_the_key(folder: Folder) -> None:
    close = {"kind": "season_close", "by": "rg"}
    with tiny_store(folder()) as store:
        with pytest.raises(RuleError, match=r"may close the season\. we is weighmaster of elm"):
            record(store, [close | {"by": "we"}])
        with pytest.raises(AskDespiteError, match="2 games not weighed and not called off: g1, g2"):
            record(store, [close])
        told = Acting(despite=frozenset({"game_not_weighed"}))
        unsigned = record(store, [close], told).act
        assert unsigned is not None
        assert not unsigned.is_signed
        assert store.event(unsigned.event_id).data == {"despite": ["game_not_weighed"]}
        enroll(store, "rg", by="rg", acting=Acting(new_passphrase="a sunny morning"))
        with pytest.raises(AskPassphraseError) as asked:
            record(store, [close], told)
        assert (asked.value.official, asked.value.is_new) == ("rg", False)
        signed = record(store, [close], replace(told, passphrase="a sunny morning")).act
        assert signed is not None
        assert signed.is_signed
        assert store.event(signed.event_id).data["despite"] == ["game_not_weighed"]
        said = [line.text for line in recorded_lines(store, signed.event_id, "UTC")]
        assert said[0].startswith("The season was closed; open then: games not weighed. ")
        assert not audit(store.connection).problems
        with pytest.raises(InputError, match="season_close cannot be recorded with other entries"):
            record(store, [close, FIRST])


def test_a_passphrase_is_not_shown_by_accident() -> None:
    assert "sunny" not in repr(Acting(passphrase="a sunny morning", new_passphrase="sunny"))
