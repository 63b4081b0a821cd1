"""A paper held against a ledger that went on, lost something, or is another."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from ledger.chain.canonical import canonical
from ledger.chain.event import Event
from ledger.chain.hashing import leaf_hash
from ledger.errors import IntegrityError
from ledger.papers.press.render import typeset_sheet
from ledger.papers.press.versions import versions
from ledger.papers.sheets import hold, list_signatures
from ledger.papers.sheets.hold import hold_paper
from ledger.record.accepted import Accepted
from ledger.record.times import now_utc
from ledger.say.held import sentence
from ledger.store.chains import begin_chain
from ledger.store.erasure import erase, events_of_child
from ledger.store.sqlite.store import SqliteStore
from tests.papers.sheets.held_papers import SHEETS, copied, where
from tests.signed_season import CHAIN, GAME, season

# What is with the ledger


@pytest.fixture(scope="module")
def paper(signed: SqliteStore) -> bytes:
    """A list of one page."""
    return typeset_sheet(SHEETS["list"](signed))


def test_what_was_written_later_does_not_matter(
    signed: SqliteStore, paper: bytes, tmp_path: Path
) -> None:
    """A later listing in the same game, a withdrawal of an earlier one, and a chain of its own."""
    with copied(tmp_path / "season.weighbook", signed) as store:
        (league,) = (stored.event.data for stored in store.events(kind=["league"]))
        listed = [stored.event for stored in store.events(kind=["list"], game=[GAME])]
        now = now_utc()
        later = Accepted("list", {"reason": "injured"}, at=now, entered=now, by="newts-wm1",
                         game=GAME, team="newts", player=listed[0].player)  # fmt: skip
        gone = Accepted("withdraw", {"target": listed[0].id}, at=now, entered=now,
                        by=listed[0].by, game=GAME)  # fmt: skip
        with store.writing() as writing:
            writing.append([later, gone], chain=CHAIN)
            begin_chain(writing, "tablet", league)
            writing.append([later], chain="tablet")
        fresh = typeset_sheet(SHEETS["list"](store))
        assert fresh != paper
        assert hold_paper(store, fresh).verdict == "same"
        assert hold_paper(store, paper).verdict == "same"


def erased(store: SqliteStore, player: str) -> None:
    erase(store, events_of_child(store, player), by="registrar", chain=CHAIN, player=player)


def test_erased_since(signed: SqliteStore, paper: bytes, tmp_path: Path) -> None:
    """A child that is not on the paper does not matter; one that is cannot be brought back."""
    shown = {stored.event.player for stored in signed.events(kind=["list"], game=[GAME])}
    others = {stored.event.player for stored in signed.events(kind=["player"])} - shown
    child = next(
        stored.event.player for stored in signed.events(kind=["list"], game=[GAME], team=["newts"])
    )
    with copied(tmp_path / "season.weighbook", signed) as store:
        erased(store, min(str(other) for other in others))
        assert hold_paper(store, paper).verdict == "same"
        erased(store, str(child))
        held = hold_paper(store, paper)
    assert (held.verdict, held.ok) == ("not_comparable", False)
    assert f"texts were erased since ({CHAIN}:7353, {CHAIN}:7354)" in sentence(held)


def test_made_by_other_versions(
    signed: SqliteStore, paper: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = {**versions(), "Pango": "1.0", "templates": "0" * 64}
    monkeypatch.setattr(hold, "versions", lambda: other)
    held = hold_paper(signed, paper)
    assert (held.verdict, held.values_agree, held.ok) == ("other_versions", True, False)
    assert [(name, here) for name, _, here in held.others] == [
        ("Pango", "1.0"), ("templates", "0" * 64),
    ]  # fmt: skip
    assert "the printed page was not compared" in sentence(held)
    monkeypatch.setattr(list_signatures, "meaning_of", lambda team, side: "Seen.")
    held = hold_paper(signed, paper)
    assert (held.verdict, held.values_agree) == ("other_versions", False)


def test_another_ledger_of_the_same_league(paper: bytes, tmp_path: Path) -> None:
    """The same season folder, loaded by somebody else: other salts, another key."""
    with season(tmp_path / "season.weighbook", signed=False) as store:
        held = hold_paper(store, paper)
    assert where(held) == ("differs", None, None)
    assert "its checkpoint is not from this ledger" in sentence(held)


def rewritten(store: SqliteStore, event: Event) -> None:
    """The event's initials are others, its hash too: what is whole in itself, and another."""
    store.connection.execute("drop trigger event_update")
    (stored,) = store.events_by_id([event.id])
    body = json.loads(stored.body)
    body["entered"] = body["recorded"]
    made = canonical(body)
    store.connection.execute(
        "update event set body = ?, hash = ? where chain = ? and seq = ?",
        (made.decode(), leaf_hash(made), event.chain, event.seq),
    )


def test_a_ledger_that_was_rewritten(signed: SqliteStore, paper: bytes, tmp_path: Path) -> None:
    with copied(tmp_path / "season.weighbook", signed) as store:
        rewritten(store, next(iter(store.events(kind=["list"], game=["oak-1b"]))).event)
        held = hold_paper(store, paper)
    assert where(held) == ("differs", None, None)
    assert "another history of the first 7,352 events of office" in sentence(held)


def test_a_ledger_that_was_cut(signed: SqliteStore, paper: bytes, tmp_path: Path) -> None:
    with copied(tmp_path / "season.weighbook", signed) as store:
        store.connection.execute("drop trigger event_delete")
        store.connection.execute("delete from event where seq > 7000")
        held = hold_paper(store, paper)
    assert "made from 7,352 events of office; this ledger has 7,000" in sentence(held)


def test_a_ledger_that_is_not_what_its_hashes_say(
    signed: SqliteStore, paper: bytes, tmp_path: Path
) -> None:
    """Somebody changed a listing, or a name, in the file alone, to fit a paper of his own."""
    with copied(tmp_path / "season.weighbook", signed) as store:
        store.connection.execute("drop trigger event_update")
        listed = next(
            stored.event
            for stored in store.events(kind=["list"], game=[GAME], team=["newts"])
            if stored.event.data["reason"] == "over"
        )
        store.connection.execute(
            'update event set body = replace(body, \'"reason":"over"\', \'"reason":"other"\')'
            " where seq = ?",
            (listed.seq,),
        )
        with pytest.raises(IntegrityError, match=f"the event {listed.id} in this ledger is not"):
            hold_paper(store, paper)


def test_a_copy_without_the_keys(signed: SqliteStore, paper: bytes, tmp_path: Path) -> None:
    """It checks papers of the device that has them; its own are signed by nobody, and say so."""
    packet = typeset_sheet(SHEETS["review packet"](signed))
    with copied(tmp_path / "copy.weighbook", signed) as store:
        store.connection.execute("delete from key")
        assert hold_paper(store, paper).verdict == "same"
        held = hold_paper(store, packet)
        own = typeset_sheet(SHEETS["receipt"](store))
        assert hold_paper(store, own).verdict == "same"
    if held.verdict != "same":  # no key is needed where a cosigned checkpoint covers all
        assert held.verdict == "not_comparable"
        assert held.reason.startswith("the key of office, which signed its proof, is not")
    again = hold_paper(signed, own)
    assert (again.verdict, again.signed) == ("same", False)
    assert "The ledger's key did not sign for it" in sentence(again)
