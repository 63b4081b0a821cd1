"""Acts: who may do them, which are signed with a key, whose key counts, what the audit says."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.audit.audit import audit
from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.cosignature import check_cosignatures, cosigner_key
from ledger.chain.event import Event
from ledger.chain.keys import make_key
from ledger.chain.note import format_verifier_key, parse_note, parse_verifier_key
from ledger.errors import InputError, RuleError
from ledger.papers.press.compose import compose
from ledger.papers.press.heads import Heads
from ledger.papers.sheets.lists import list_sheet
from ledger.papers.sheets.receipts import receipt_sheet
from ledger.record.accepted import Accepted
from ledger.say.signing import key_words
from ledger.store.acts import check_may, offices_of, roles_given
from ledger.store.chains import origin_in
from ledger.store.erasure import erase, events_of_child
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.check import check_proof
from ledger.witness.cosigning import KeySigner
from ledger.witness.countersign import countersign, show_list
from ledger.witness.keys import key_name, keys_in_force
from ledger.witness.officials import enroll, key_of, revoke, unlock
from ledger.witness.prove import prove_statements
from ledger.witness.vouching import vouched
from tests.tiny import tiny_store, write_folder

OFFICE, WORDS = "office", "invented words"
AT = "2026-09-05T13:40:00.000Z"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[SqliteStore]:
    with tiny_store(write_folder(tmp_path / "season")) as own:
        yield own


def appoint(
    store: SqliteStore, official: str, to: str, by: str, *, team: str | None = None,
    game: str | None = None,
) -> str:  # fmt: skip
    said = Accepted("appoint", {"value": official, "to": to}, {}, AT, AT, by, game, team)
    with store.writing() as writing:
        return writing.append([said], chain=OFFICE)[0]


def signer(store: SqliteStore, official: str, words: str = WORDS) -> KeySigner:
    return KeySigner(*unlock(store, official, words))


def sign(store: SqliteStore, game: str, team: str, official: str) -> Event:
    shown = show_list(store, game, team, official, chain=OFFICE)
    signed = countersign(store, shown, *unlock(store, official, WORDS, game))
    return next(iter(store.events_by_id([signed.event_id]))).event


def state_key(store: SqliteStore, official: str, by: str, **more: str) -> None:
    """A key event as someone with a database shell would write it."""
    key = cosigner_key(key_name(official, origin_in(store, OFFICE)), make_key().public)
    data = {"official": official, "key": format_verifier_key(key)} | more
    with store.writing() as writing:
        writing.append([Accepted("official_key", data, by=by)], chain=OFFICE)


def key_notes(store: SqliteStore) -> list[str]:
    report = audit(store.connection)
    assert report.ok, report.problems
    return [note for note in report.notes if "witnessed" not in note]


# Who may


@pytest.mark.parametrize(
    ("to", "by", "may"),
    [
        ("registrar", "rg", True),
        ("division_president", "dp", True),
        ("registrar", "ca", False),
        ("registrar", "so", False),
        ("coach", "rg", False),
    ],
)
def test_a_role_for_acts_comes_from_who_may_appoint(
    store: SqliteStore, to: str, by: str, may: bool
) -> None:
    appoint(store, "wa", to, by)
    assert bool(offices_of(roles_given(store), "wa")) is may


def test_who_may_not_is_told_who_may(store: SqliteStore) -> None:
    with pytest.raises(RuleError) as refused:
        check_may(store, "wa", "erase")
    assert refused.value.message == (
        "Only the registrar, an association president or a division president may erase. "
        "wa is weighmaster of ash."
    )
    assert refused.value.hint == "Name one of them with --by: ap, dp, rg."
    appoint(store, "ca", "division_president", "ca")
    with pytest.raises(
        RuleError, match="made division president by themselves, which does not count"
    ):
        check_may(store, "ca", "erase")
    with pytest.raises(InputError, match="no official zz"):
        check_may(store, "zz", "erase")


def test_a_withdrawn_appointment_gives_no_role(store: SqliteStore) -> None:
    event_id = appoint(store, "wa", "registrar", "rg")
    with store.writing() as writing:
        gone = Accepted("withdraw", {"target": event_id}, {"reason": "a slip"}, AT, AT, "rg")
        writing.append([gone], chain=OFFICE)
    assert not offices_of(roles_given(store), "wa")


@pytest.mark.parametrize(
    "act",
    [
        lambda store: erase(store, events_of_child(store, "a1"), by="we", chain=OFFICE),
        lambda store: enroll(store, "wa", WORDS, by="we", chain=OFFICE, replace=True),
        lambda store: enroll(store, "we", WORDS, by="we", chain=OFFICE),
        lambda store: revoke(store, "wa", by="we", reason="asked", chain=OFFICE),
    ],
)
def test_an_opponents_weighmaster_may_not(
    store: SqliteStore, act: Callable[[SqliteStore], Any]
) -> None:
    enroll(store, "wa", WORDS, by="rg", chain=OFFICE)
    before = store.head(OFFICE)
    with pytest.raises(RuleError, match="Only the registrar"):
        act(store)
    assert store.head(OFFICE) == before


# Signed with a key


def test_an_act_is_signed_with_the_key_of_who_acts(store: SqliteStore) -> None:
    enroll(store, "rg", WORDS, by="rg", chain=OFFICE)
    events = events_of_child(store, "a1")
    erased = erase(store, events, by="rg", chain=OFFICE, player="a1", signer=signer(store, "rg"))
    event = next(iter(store.events_by_id([erased.event_id]))).event
    assert (event.data["how"], event.data["others"]) == ("key", {})
    (kept,) = store.checkpoints()
    note = parse_note(kept.note.encode())
    assert f"{OFFICE}:{parse_checkpoint(note.text).size}" == erased.event_id
    key = key_of(store, "rg")
    assert key
    assert [one.key for one in check_cosignatures(note, [key.key])] == [key.key]
    report = audit(store.connection)
    assert report.ok
    assert "0 signatures with a key, 0 in ink; 1 signed act" in report.steps[3].looked_at
    # The act's signature witnesses all before it.
    assert not [note for note in report.notes if "witnessed" in note]
    assert check_proof(prove_statements(store, [erased.event_id])).ok


def test_an_act_that_a_key_could_have_signed_is_noted(store: SqliteStore) -> None:
    erase(store, events_of_child(store, "a1"), by="rg", chain=OFFICE)
    assert key_notes(store) == []
    enroll(store, "rg", WORDS, by="dp", chain=OFFICE)
    erased = erase(store, events_of_child(store, "a2"), by="rg", chain=OFFICE).event_id
    assert key_notes(store) == [f"erasure {erased} by rg is not signed, though rg has a key"]


def test_the_holder_replaces_a_key_with_the_old_one(store: SqliteStore) -> None:
    first = enroll(store, "wa", WORDS, by="rg", chain=OFFICE)
    with pytest.raises(RuleError, match="wa must sign this with the key in force"):
        enroll(store, "wa", WORDS, by="wa", chain=OFFICE, replace=True)
    second = enroll(
        store, "wa", WORDS, by="wa", chain=OFFICE, replace=True, signer=signer(store, "wa")
    )
    assert key_of(store, "wa") == second
    (event,) = store.events_by_id([second.since])
    assert event.event.data["replaces"] == format_verifier_key(first.key)
    signed = sign(store, "g1", "ash", "wa")
    behind = vouched(store, signed)
    assert behind
    assert (behind.is_replaced, behind.by_holder, behind.by) == (True, True, "wa")
    assert key_words(store, signed.id, str) == ""
    assert key_notes(store) == []
    assert check_proof(prove_statements(store, [signed.id, second.since])).ok


def test_a_key_that_the_registrar_replaced_is_said_so(store: SqliteStore) -> None:
    enroll(store, "wa", WORDS, by="rg", chain=OFFICE)
    before = sign(store, "g1", "ash", "wa")
    second = enroll(store, "wa", WORDS, by="rg", chain=OFFICE, replace=True)
    after = sign(store, "g1", "elm", "wa")
    assert key_words(store, before.id, str) == ""
    assert key_words(store, after.id, str) == "key set by the registrar"
    told = f"rg replaced the key of wa without the old key ({second.since})"
    assert key_notes(store) == [told]
    assert check_proof(prove_statements(store, [before.id, after.id])).ok


def test_lists_and_receipts_say_who_set_the_key(store: SqliteStore) -> None:
    enroll(store, "wa", WORDS, by="rg", chain=OFFICE)
    enroll(store, "wa", WORDS, by="rg", chain=OFFICE, replace=True)
    signed = sign(store, "g1", "ash", "wa")
    for sheet in (list_sheet(Heads(store), "g1", "ash"), receipt_sheet(Heads(store), signed.id)):
        text = " ".join(compose(sheet.document, sheet.context, stamp=sheet.stamp).split())
        assert "(key set by the registrar)" in text


def test_a_new_key_after_a_revocation_is_one_in_place_of_the_old(store: SqliteStore) -> None:
    enroll(store, "wa", WORDS, by="rg", chain=OFFICE)
    revoke(store, "wa", by="rg", reason="lost", chain=OFFICE)
    assert key_of(store, "wa") is None
    enroll(store, "wa", WORDS, by="ap", chain=OFFICE)
    signed = sign(store, "g1", "ash", "wa")
    assert key_words(store, signed.id, str) == "key set by the association president"


def test_a_key_that_an_opponent_put_into_the_file_is_noted(store: SqliteStore) -> None:
    enroll(store, "wa", WORDS, by="rg", chain=OFFICE)
    state_key(store, "wa", "we")
    event_id = f"{OFFICE}:{store.head(OFFICE).seq}"
    assert key_notes(store) == [
        f"we replaced the key of wa without the old key ({event_id})",
        f"official_key {event_id} by we, who had no role for it",
    ]


# Which key was in force


def test_a_replaced_or_revoked_key_is_out_whatever_the_clocks_say() -> None:
    """Ledger order may put a new key in another chain before the key that it replaces."""

    def made(seq: int, line: str, **more: str) -> Event:
        data = {"official": "wa", "key": line} | more
        return Event(chain="c", seq=seq, prev=b"", salt="", recorded="", kind="official_key",
                     data=data)  # fmt: skip

    first, second = (
        format_verifier_key(cosigner_key("wa@x/1/c", make_key().public)) for _ in range(2)
    )
    old, new = made(1, first), made(2, second, replaces=first)
    for order in ([old, new], [new, old]):
        (key,) = keys_in_force(order).values()
        assert key.key == parse_verifier_key(second)
    gone = Event(chain="c", seq=3, prev=b"", salt="", recorded="", kind="key_revoked",
                 data={"official": "wa", "key": second})  # fmt: skip
    for order in ([old, new, gone], [gone, new, old]):
        assert keys_in_force(order) == {}


def test_a_key_is_in_force_for_what_the_signature_covers(store: SqliteStore) -> None:
    """The tent's clock is behind: its revocation looks older than what the key had signed."""
    enroll(store, "wa", WORDS, by="rg", chain=OFFICE)
    signed = sign(store, "g1", "ash", "wa")
    league = next(iter(store.events(kind=["league"]))).event.data
    from ledger.store.chains import begin_chain

    store.clock = lambda: "2026-09-01T00:00:00.000Z"
    with store.writing() as writing:
        begin_chain(writing, "tent", league)
    revoke(store, "wa", by="rg", reason="lost", chain="tent")
    assert key_of(store, "wa") is None
    report = audit(store.connection)
    assert report.ok, report.problems
    assert check_proof(prove_statements(store, [signed.id, "tent:2"])).ok


# A key for one game


@pytest.fixture
def at_the_table(store: SqliteStore) -> SqliteStore:
    """The site official made x weighmaster of ash for g1, and vouches for a key of x."""
    appoint(store, "x", "weighmaster", "so", team="ash", game="g1")
    enroll(store, "x", WORDS, by="so", chain=OFFICE, game="g1")
    return store


def test_a_key_for_a_game_is_vouched_for_by_who_appointed(at_the_table: SqliteStore) -> None:
    store = at_the_table
    signed = sign(store, "g1", "ash", "x")
    assert key_words(store, signed.id, str) == "vouched for by so, for this game only"
    assert key_notes(store) == []
    assert check_proof(prove_statements(store, [signed.id])).ok
    assert key_of(store, "x", "g1")
    assert key_of(store, "x", "g2") is None
    assert key_of(store, "x") is None


@pytest.mark.parametrize(
    ("official", "game", "by", "told"),
    [
        ("x", "g1", "we", "or the official who appointed x for g1, may make this key. we is"),
        ("x", "g2", "so", "x was not appointed for g2"),
        ("wa", "g1", "so", "wa was not appointed for g1"),
        ("x", None, "so", "may make a key for x"),
    ],
)
def test_a_key_for_a_game_needs_an_appointment_for_it(
    at_the_table: SqliteStore, official: str, game: str | None, by: str, told: str
) -> None:
    with pytest.raises(RuleError, match=told):
        enroll(at_the_table, official, WORDS, by=by, chain=OFFICE, game=game, replace=True)


def test_a_key_for_a_game_counts_in_that_game_only(at_the_table: SqliteStore) -> None:
    store = at_the_table
    appoint(store, "x", "weighmaster", "rg", team="ash")
    key, private = unlock(store, "x", WORDS, "g1")
    shown = show_list(store, "g2", "ash", "x", chain=OFFICE)
    with pytest.raises(RuleError, match="this key of x is no longer in force here"):
        countersign(store, shown, key, private)
    # The same, written into the file past the program.
    from ledger.witness import countersign as module

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(module, "check_in_force", lambda *given: None)
        event_id = countersign(store, shown, key, private).event_id
    found = {(p.problem, p.detail) for p in audit(store.connection).problems}
    assert found == {("unknown key", "x had no key in force")}
    assert not check_proof(prove_statements(store, [event_id])).ok
