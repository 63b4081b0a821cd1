"""Signed lists in a proof: what differs, what is left out, what came after."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.chain.event import Event
from ledger.record.statements import Concern
from ledger.say.proofs import sections
from ledger.store.recording import record_statement
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.check import check_proof
from ledger.witness.checked import CheckedProof
from ledger.witness.countersign import countersign, show_list
from ledger.witness.officials import unlock
from ledger.witness.proof import Proof
from ledger.witness.prove import prove_statements
from tests.signed_season import CHAIN, GAME, PASSPHRASE, season
from tests.witness.rebuilding import LIES, numbered, rebuilt, with_data, without_content

AT = "2026-11-01T15:00:00.000Z"
TEAM = "marmots"


def of_game(store: SqliteStore) -> list[Event]:
    return [stored.event for stored in store.events(game=[GAME])]


def signatures(store: SqliteStore) -> list[Event]:
    """The signatures to a list that has lines, and rows with events; oldest first."""
    made = [event for event in of_game(store) if "shown" in event.data]
    return [event for event in made if event.team == TEAM]


@pytest.fixture(scope="module")
def proof(signed: SqliteStore) -> Proof:
    return prove_statements(signed, [event.id for event in of_game(signed)])


def words(checked: CheckedProof) -> str:
    assert checked.ok, checked.differences
    return " ".join(line for section in sections(checked) for line in section.lines)


def test_a_ledger_written_anew_with_nothing_changed_holds(
    signed: SqliteStore, proof: Proof
) -> None:
    """So the lies below fail the check of the list, not of a link."""
    checked = check_proof(rebuilt(signed, proof, CHAIN, {signatures(signed)[0].seq: str}))
    assert f"That a key made the signature {signatures(signed)[0].id}" in words(checked)
    assert "That a key made" not in words(check_proof(proof))


@pytest.mark.parametrize("name", LIES)
def test_a_lie_about_a_signed_list(signed: SqliteStore, proof: Proof, name: str) -> None:
    lie, said = LIES[name]
    checked = check_proof(rebuilt(signed, proof, CHAIN, {signatures(signed)[0].seq: lie}))
    assert said in " ".join(checked.differences)


def test_an_older_form_comes_before_a_newer_one_only(signed: SqliteStore, proof: Proof) -> None:
    made = [event for event in of_game(signed) if "shown" in event.data]
    first, last = made[0].seq, made[-1].seq
    assert check_proof(rebuilt(signed, proof, CHAIN, {first: without_content})).ok
    checked = check_proof(rebuilt(signed, proof, CHAIN, {last: without_content}))
    assert "form 1, after form 2" in " ".join(checked.differences)


def test_rows_that_follow_from_nothing_are_for_the_audit(signed: SqliteStore, proof: Proof) -> None:
    """To derive a row takes all covered events; a proof has only some."""
    lie = numbered(lambda shown: shown["rows"][0].update(may_play="none", may_carry="no"))
    assert check_proof(rebuilt(signed, proof, CHAIN, {signatures(signed)[0].seq: lie})).ok


def test_what_it_names_and_is_not_here_is_said(signed: SqliteStore) -> None:
    signature = signatures(signed)[0]
    shown = signature.data["shown"]
    named = {one for row in shown["rows"] for one in row["events"]}
    named |= {line["event"] for line in shown["lines"]}
    named |= {line["struck"]["event"] for line in shown["lines"] if line["struck"]}
    checked = check_proof(prove_statements(signed, [signature.id]))
    told = (
        f"Everything the signature {signature.id} covers: this proof lacks {len(named)} statements."
    )
    assert told in words(checked)
    (one,) = (one for one in checked.lists if one.event.id == signature.id)
    assert set(one.not_here) == named
    whole = words(check_proof(prove_statements(signed, [signature.id, *named])))
    assert "this proof lacks" not in whole


@pytest.fixture(scope="module")
def two_chains(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqliteStore]:
    """A tent records before and after the office signs again; nobody signs after that."""

    def concern(store: SqliteStore, chain: str) -> str:
        stated = Concern(at=AT, entered=AT, by="newts-wm1", game=GAME, reason="cleats")
        with store.writing() as writing:
            return record_statement(writing, stated, chain=chain)

    with season(tmp_path_factory.mktemp("two") / "s.weighbook") as store:
        concern(store, "tent")
        key, private = unlock(store, "newts-wm1", PASSPHRASE)
        shown = show_list(store, GAME, TEAM, "newts-wm1", chain=CHAIN)
        countersign(store, shown, key, private)
        yield store


def test_what_a_signature_does_not_cover_is_said(two_chains: SqliteStore, tmp_path: Path) -> None:
    """The first four do not name the tent; the last does, at the length it had."""
    *before, last = (event.id for event in of_game(two_chains) if "shown" in event.data)
    tent = [event.id for event in of_game(two_chains) if event.chain == "tent"]
    checked = check_proof(prove_statements(two_chains, [*before, last, *tent]))
    after = {one.event.id: [event.id for event in one.after] for one in checked.lists}
    assert set(tent) <= set(after[before[0]])
    assert after[last] == []
    assert f"{before[0]}, {before[1]}" in words(checked)
    assert f": tent:1 to {len(tent) + 1}. They came later." in words(checked)


def test_another_root_of_another_chain(two_chains: SqliteStore) -> None:
    """The tent's checkpoint is in the proof, of just the length that the signature names."""
    events = [event for event in of_game(two_chains) if "shown" in event.data]
    last, tent = events[-1], [e.id for e in of_game(two_chains) if e.chain == "tent"]
    proof = prove_statements(two_chains, [last.id, *tent])
    assert "tent" in last.data["others"]
    lie = with_data(others={"tent": last.data["others"]["tent"] | {"root": "00" * 32}})
    assert check_proof(rebuilt(two_chains, proof, CHAIN, {last.seq: str})).ok
    checked = check_proof(rebuilt(two_chains, proof, CHAIN, {last.seq: lie}))
    assert "names another root of tent" in " ".join(checked.differences)


def test_the_verdict_for_programs_names_lists(signed: SqliteStore, proof: Proof) -> None:
    from ledger.commands.verdict import as_json

    lists = json.loads(json.dumps(as_json(check_proof(proof))))["lists"]
    one = next(one for one in lists if one["event"] == signatures(signed)[0].id)
    assert (one["game"], one["team"]) == (GAME, TEAM)
    assert one["list"] == signatures(signed)[0].data["list"]
    assert one["after"]  # the signatures that came after it
