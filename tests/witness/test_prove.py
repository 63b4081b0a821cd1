"""The content of a proof: checkpoint, keys, and only the personal text chosen."""

from __future__ import annotations

import csv
from collections.abc import Collection
from pathlib import Path

import pytest

from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.cosignature import cosign_note
from ledger.chain.note import add_signature, format_note, parse_note
from ledger.errors import InputError, IntegrityError, StoreError
from ledger.record.statements import Concern
from ledger.store.chains import sign_head
from ledger.store.recording import record_statement
from ledger.store.sqlite.store import SqliteStore
from ledger.store.store import StoredCheckpoint
from ledger.witness.check import check_proof, check_receipt
from ledger.witness.disclosing import choose, parse_words
from ledger.witness.officials import revoke, unlock
from ledger.witness.proof import Proof, format_proof, pack_proof
from ledger.witness.prove import prove_statements
from tests.make_sample_season import FOLDER
from tests.signed_season import CHAIN, GAME, PASSPHRASE, REGISTRAR, SIGNERS, receipt, season

AT = "2026-09-05T15:00:00.000Z"


def prove_game(store: SqliteStore, game: str, words: Collection[str] = ()) -> Proof:
    choice = choose(store, (stored.event for stored in store.events(game=[game])), words)
    return prove_statements(store, choice.ids, choice.disclose)


def size_of(note: str) -> int:
    return parse_checkpoint(parse_note(note.encode()).text).size


def names_of(file: str) -> list[str]:
    with (FOLDER / file).open(encoding="utf-8", newline="") as lines:
        return [row["name"] for row in csv.DictReader(lines) if row["name"]]


def players_of(teams: Collection[str]) -> set[str]:
    with (FOLDER / "players.csv").open(encoding="utf-8", newline="") as lines:
        return {row["name"] for row in csv.DictReader(lines) if row["team"] in teams}


@pytest.fixture(scope="module")
def of_game(signed: SqliteStore) -> Proof:
    return prove_game(signed, GAME)


def test_a_game_is_a_small_file(of_game: Proof) -> None:
    assert len(of_game.chains[0].events) > 300
    assert len(pack_proof(of_game)) < 100_000


def test_the_same_ledger_gives_the_same_file(signed: SqliteStore, of_game: Proof) -> None:
    assert pack_proof(prove_game(signed, GAME)) == pack_proof(of_game)


def test_it_holds(of_game: Proof) -> None:
    checked = check_proof(of_game)
    assert checked.differences == ()
    state = checked.chains[0].state
    assert state is not None
    assert [one.key.name.partition("@")[0] for one in state.cosignatures] == ["newts-wm1"]
    assert {event.game for event in checked.events if event.at} == {GAME}


def test_no_name_and_no_remark_is_in_it(signed: SqliteStore, of_game: Proof) -> None:
    text = format_proof(of_game).decode()
    personal = names_of("players.csv") + names_of("officials.csv")
    assert len(personal) > 200
    assert not [name for name in personal if name in text]
    assert of_game.disclosures == ()


def test_names_are_those_of_the_children_in_the_game(signed: SqliteStore) -> None:
    checked = check_proof(prove_game(signed, GAME, {"name"}))
    assert checked.ok
    shown = {told.value for told in checked.texts if told.event.kind == "player"}
    assert shown
    assert shown <= players_of({"newts", "marmots"})


@pytest.mark.parametrize("word", ["official", "note", "reason"])
def test_a_word_shows_its_own_texts_only(signed: SqliteStore, word: str) -> None:
    checked = check_proof(prove_game(signed, "acorn-4a", {word}))
    assert checked.ok
    children = set(names_of("players.csv"))
    assert checked.texts
    assert not {told.value for told in checked.texts} & children


def test_another_word_is_refused() -> None:
    with pytest.raises(InputError, match="birthday"):
        parse_words("name,birthday")


def test_a_withdrawal_goes_along(signed: SqliteStore) -> None:
    (gone, *_) = (s.event for s in signed.events(kind=["withdraw"]))
    (target,) = signed.events_by_id([gone.data["target"]])
    choice = choose(signed, [target.event], ())
    assert gone.id in choice.ids


def test_the_latest_cosigned_checkpoint_is_used(of_game: Proof) -> None:
    (part,) = of_game.chains
    sizes = [size_of(one.note) for one in part.earlier]
    assert sizes == sorted(sizes)
    assert len(sizes) == 3
    assert size_of(part.note) == sizes[-1] + 1


def test_the_head_is_signed_where_no_official_signed_late_enough(tmp_path: Path) -> None:
    with season(tmp_path / "s") as store:
        with store.writing() as writing:
            statement = Concern(at=AT, entered=AT, by=SIGNERS[0], game=GAME, reason="conduct")
            late = record_statement(writing, statement, chain=CHAIN)
        checked = check_proof(prove_statements(store, [late, f"{CHAIN}:300"]))
        assert checked.ok
        (chain,) = checked.chains
        assert chain.state is not None
        assert chain.state.cosignatures == ()
        assert [bool(state.cosignatures) for state in chain.earlier] == [True]


def test_without_any_key_of_an_official(tmp_path: Path) -> None:
    with season(tmp_path / "s", signed=False) as store:
        checked = check_proof(prove_game(store, GAME))
    assert checked.ok
    assert len(checked.keys) == 1


def test_a_copy_without_the_chains_key_proves_what_was_cosigned(tmp_path: Path) -> None:
    with season(tmp_path / "s") as store:
        store.connection.execute("delete from key")
        assert check_proof(prove_game(store, GAME)).ok
    with season(tmp_path / "t", signed=False) as store:
        store.connection.execute("delete from key")
        with pytest.raises(StoreError, match="not in this ledger"):
            prove_game(store, GAME)


def test_an_unknown_event_is_refused(signed: SqliteStore) -> None:
    with pytest.raises(InputError, match="office:99999"):
        prove_statements(signed, ["office:99999"])


def test_what_was_erased_is_left_out(tmp_path: Path) -> None:
    with season(tmp_path / "s") as store:
        before = prove_game(store, GAME, {"name"})
        gone = before.disclosures[0].event_id
        with store.writing() as writing:
            writing.drop_disclosures([gone])
        after = prove_game(store, GAME, {"name"})
    assert check_proof(after).ok
    assert set(before.disclosures) - set(after.disclosures) == {before.disclosures[0]}


def test_a_revoked_key_stays_good_for_what_it_signed(tmp_path: Path) -> None:
    with season(tmp_path / "s") as store:
        revoke(store, SIGNERS[0], by=REGISTRAR, reason="an invented reason", chain=CHAIN)
        assert check_proof(prove_game(store, GAME)).ok


def test_a_key_in_another_chain_is_proved_there(tmp_path: Path) -> None:
    """marmots-wm3 enrolls with the office, and signs what a device of the field recorded."""
    with season(tmp_path / "s") as store:
        with store.writing() as writing:
            statement = Concern(at=AT, entered=AT, by=SIGNERS[0], game=GAME, reason="cleats")
            event_id = record_statement(writing, statement, chain="field")
            note = sign_head(store, "field")
            key, private = unlock(store, SIGNERS[0], PASSPHRASE)
            note = add_signature(note, cosign_note(note, key.key.name, private, time=1_800_000_000))
            size = parse_checkpoint(note.text).size
            writing.keep_checkpoint(StoredCheckpoint("field", size, format_note(note).decode()))
        proof = prove_statements(store, [event_id])
    checked = check_proof(proof)
    assert checked.differences == ()
    assert [part.chain for part in proof.chains] == ["field", CHAIN]


def test_a_receipt_is_continued(signed: SqliteStore) -> None:
    note = parse_note(receipt())
    checked = check_proof(prove_statements(signed, ["office:300"], (), [note]))
    assert checked.ok
    assert check_receipt(checked, note).checkpoint.size == parse_checkpoint(note.text).size


def test_a_proof_that_is_silent_about_a_receipt_says_so(signed: SqliteStore) -> None:
    checked = check_proof(prove_statements(signed, ["office:300"]))
    with pytest.raises(InputError, match="does not show the moment"):
        check_receipt(checked, parse_note(receipt()))


def test_a_receipt_of_another_history_is_noticed(tmp_path: Path, signed: SqliteStore) -> None:
    """The same league, loaded again: other salts, another key, another history."""
    with season(tmp_path / "again", signed=False) as store:
        proof = prove_statements(store, ["office:300"])
        with pytest.raises(IntegrityError, match="is not from this ledger"):
            prove_statements(store, ["office:300"], (), [parse_note(receipt())])
    with pytest.raises(IntegrityError):
        check_receipt(check_proof(proof), parse_note(receipt()))
