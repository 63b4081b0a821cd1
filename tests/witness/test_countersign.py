"""Countersigning: who may, what is signed, all of it or nothing."""

from pathlib import Path

import pytest

from ledger.audit.audit import audit
from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.cosignature import check_cosignatures
from ledger.chain.merkle import root
from ledger.chain.note import parse_note
from ledger.chain.others import State, parse_others
from ledger.derive.signed_list import list_number
from ledger.errors import ChangedError, InputError, IntegrityError, RuleError
from ledger.record.accepted import Accepted
from ledger.record.fields import COLUMNS
from ledger.record.reading import Place, read_statement
from ledger.record.times import zone
from ledger.say.proofs import entry_line
from ledger.store.recording import record_statement
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.countersign import check_scan, countersign, countersign_in_ink, show_list
from ledger.witness.officials import enroll, key_of, revoke, unlock
from ledger.witness.vouching import vouched
from ledger.witness.witnessed import witnessed
from tests.signed_season import CHAIN, GAME, PASSPHRASE, REGISTRAR, SIGNERS, season

SIGNER = SIGNERS[0]


@pytest.fixture
def store(tmp_path: Path):
    with season(tmp_path / "season.weighbook") as own:
        yield own


AT = "2026-11-01T14:00:00.000Z"


def _list_one_more(store: SqliteStore, *, chain: str = CHAIN, game: str = GAME) -> None:
    cells = {"kind": "list", "at": "2026-09-05 08:59", "game": game, "team": "newts",
             "number": "2", "by": "newts-wm1", "reason": "other"}  # fmt: skip
    assert cells.keys() <= COLUMNS.keys()
    statement, faults = read_statement(cells, zone("America/Chicago"), Place())
    assert statement, faults
    with store.writing() as writing:
        record_statement(writing, statement, chain=chain)


def test_the_cosigned_checkpoint_covers_the_countersignature(store: SqliteStore) -> None:
    key, private = unlock(store, SIGNER, PASSPHRASE)
    shown = show_list(store, GAME, "newts", SIGNER, chain=CHAIN)
    signed = countersign(store, shown, key, private)
    checkpoint = parse_checkpoint(signed.note.text)
    assert f"{CHAIN}:{checkpoint.size}" == signed.event_id
    assert checkpoint.root == root(store.hashes(CHAIN))
    assert [one.key for one in check_cosignatures(signed.note, [key.key])] == [key.key]
    assert parse_note(list(store.checkpoints())[-1].note.encode()) == signed.note
    (event,) = (stored.event for stored in store.events_by_id([signed.event_id]))
    assert event.data["how"] == "key"
    assert event.data["list"] == shown.number == list_number(event.data["shown"])


def test_the_other_chains_are_fixed_too(store: SqliteStore) -> None:
    _list_one_more(store, chain="tablet")
    before = witnessed(store)
    key, private = unlock(store, SIGNER, PASSPHRASE)
    shown = show_list(store, GAME, "marmots", SIGNER, chain=CHAIN)
    signed = countersign(store, shown, key, private)
    (event,) = (stored.event for stored in store.events_by_id([signed.event_id]))
    assert parse_others(event.data) == {"tablet": State(2, root(store.hashes("tablet")))}
    assert entry_line(event).endswith(
        f", the chain tablet at 2 entries, root {root(store.hashes('tablet')).hex()}"
    )
    assert before == {CHAIN: 7352}
    assert witnessed(store) == {CHAIN: 7353, "tablet": 2}
    assert event.at is not None
    assert event.at <= event.recorded
    assert audit(store.connection).ok


def test_a_list_that_changed_since_it_was_shown_is_not_signed(store: SqliteStore) -> None:
    key, private = unlock(store, SIGNER, PASSPHRASE)
    shown = show_list(store, GAME, "newts", SIGNER, chain=CHAIN)
    _list_one_more(store)
    before = (store.head(CHAIN), len(list(store.checkpoints())))
    with pytest.raises(RuleError, match="list changed"):
        countersign(store, shown, key, private)
    assert (store.head(CHAIN), len(list(store.checkpoints()))) == before


@pytest.mark.parametrize(("game", "is_signed"), [(GAME, False), ("acorn-2a", True)])
def test_what_comes_in_just_before_the_lock(
    store: SqliteStore, monkeypatch: pytest.MonkeyPatch, game: str, is_signed: bool
) -> None:
    """A line of the game stops the signature. One of another game does not even slow it."""
    key, private = unlock(store, SIGNER, PASSPHRASE)
    shown = show_list(store, GAME, "newts", SIGNER, chain=CHAIN)
    tries = []

    def now() -> str:
        tries.append(game)
        _list_one_more(store, game=game)
        return AT

    monkeypatch.setattr("ledger.witness.countersign.now_utc", now)
    if is_signed:
        assert countersign(store, shown, key, private).event_id
    else:
        with pytest.raises(ChangedError):
            countersign(store, shown, key, private)
    assert tries == [game]


def test_the_number_follows_every_line_of_the_list(store: SqliteStore) -> None:
    before = show_list(store, GAME, "newts", SIGNER, chain=CHAIN)
    _list_one_more(store)
    after = show_list(store, GAME, "newts", SIGNER, chain=CHAIN)
    assert len(after.rows) == len(before.rows) + 1
    assert after.number != before.number
    other = show_list(store, GAME, "marmots", SIGNER, chain=CHAIN)
    assert other.number not in (before.number, after.number)


@pytest.mark.parametrize("official", ["dormice-wm1", "registrar"])
def test_who_may_not_sign_is_told_why(store: SqliteStore, official: str) -> None:
    with pytest.raises(RuleError, match="not a weighmaster of either team") as refused:
        show_list(store, GAME, "newts", official, chain=CHAIN)
    assert "newts" in refused.value.hint
    assert "marmots" in refused.value.hint


def test_an_unknown_official_is_no_weighmaster_of_another_team(store: SqliteStore) -> None:
    with pytest.raises(InputError, match=r"^no official newts-wmm1 in") as refused:
        show_list(store, GAME, "newts", "newts-wmm1", chain=CHAIN)
    assert refused.value.hint.startswith("Did you mean newts-wm")


def test_a_game_that_is_off_or_a_team_that_does_not_play(store: SqliteStore) -> None:
    with pytest.raises(RuleError, match="is off"):
        show_list(store, "oak-3b", "wombats", "wombats-wm1", chain=CHAIN)
    with pytest.raises(RuleError, match="does not play"):
        show_list(store, GAME, "quokkas", SIGNER, chain=CHAIN)


def test_nothing_is_signed_into_a_chain_that_has_not_begun(store: SqliteStore) -> None:
    key, private = unlock(store, SIGNER, PASSPHRASE)
    shown = show_list(store, GAME, "newts", SIGNER, chain="tablet")
    before = store.lengths()
    with pytest.raises(InputError, match="no chain tablet"):
        countersign(store, shown, key, private)
    assert store.lengths() == before


def test_what_came_in_elsewhere_meanwhile_is_covered_too(store: SqliteStore) -> None:
    """Another game's weigh does not change the list, and the signature still covers it."""
    key, private = unlock(store, SIGNER, PASSPHRASE)
    shown = show_list(store, GAME, "newts", SIGNER, chain=CHAIN)
    weigh = Accepted("weigh", {"value": "ok", "number": 21}, at=AT, entered=AT, by="dormice-wm1",
                     game="acorn-7b", team="quokkas", player="k207")  # fmt: skip
    with store.writing() as writing:
        (other,) = writing.append([weigh], chain=CHAIN)
    signed = countersign(store, shown, key, private)
    assert int(signed.event_id.split(":")[1]) == int(other.split(":")[1]) + 1
    assert audit(store.connection).ok


def test_a_ledger_that_is_not_the_one_signed_before_is_not_signed(store: SqliteStore) -> None:
    key, private = unlock(store, SIGNER, PASSPHRASE)
    connection = store.connection
    connection.execute("drop trigger event_update")
    # Some event before the first countersignature gets another hash: the tree is another one.
    connection.execute("update event set hash = zeroblob(32) where position = 500")
    shown = show_list(store, GAME, "newts", SIGNER, chain=CHAIN)
    before = store.head(CHAIN)
    with pytest.raises(IntegrityError, match="not the one you signed before"):
        countersign(store, shown, key, private)
    assert store.head(CHAIN) == before


@pytest.mark.parametrize("scan", [b"", b"number,name\n7,Robin", b"PK\3\4", b"RIFF....WAVE"])
def test_what_is_no_scan_is_not_kept(store: SqliteStore, scan: bytes) -> None:
    shown = show_list(store, GAME, "newts", SIGNER, chain=CHAIN)
    before = (store.head(CHAIN), store.exhibits())
    with pytest.raises(InputError, match=r"^roster.csv is not a scan$"):
        countersign_in_ink(store, shown, scan, "roster.csv")
    assert (store.head(CHAIN), store.exhibits()) == before


@pytest.mark.parametrize(
    "scan",
    [b"%PDF-1.7", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff\xe0", b"II*\0", b"MM\0*",
     b"RIFF\0\0\0\0WEBP", b"\0\0\0\x18ftypheic"],
)  # fmt: skip
def test_what_scanners_and_telephones_make_is_a_scan(scan: bytes) -> None:
    check_scan(scan, "scan")


def test_a_signature_in_ink_keeps_its_scan(store: SqliteStore) -> None:
    shown = show_list(store, GAME, "newts", "marmots-wm2", chain=CHAIN)
    event_id = countersign_in_ink(store, shown, b"%PDF- scan", "scan.pdf")
    (event,) = (stored.event for stored in store.events_by_id([event_id]))
    assert event.data["how"] == "ink"
    assert store.exhibits()[event.data["scan"]] == "scan.pdf"
    signatures = show_list(store, GAME, "newts", "marmots-wm2", chain=CHAIN).signatures
    assert ("marmots-wm2", "marmots", "ink", event_id) in {
        (one.row["official"], one.row["side"], one.row["how"], one.event_id) for one in signatures
    }


def test_no_key_is_behind_a_signature_in_ink(store: SqliteStore) -> None:
    shown = show_list(store, GAME, "newts", SIGNER, chain=CHAIN)
    event_id = countersign_in_ink(store, shown, b"%PDF- scan", "scan.pdf")
    assert key_of(store, SIGNER)
    assert vouched(store, store.event(event_id)) is None


def test_a_key_is_replaced_only_when_asked_and_revoked_for_good(store: SqliteStore) -> None:
    first = key_of(store, SIGNER)
    with pytest.raises(RuleError, match="already has a key"):
        enroll(store, SIGNER, "another one", by=REGISTRAR, chain=CHAIN)
    second = enroll(store, SIGNER, "another one", by=REGISTRAR, chain=CHAIN, replace=True)
    assert first is not None
    assert key_of(store, SIGNER) == second != first
    with pytest.raises(RuleError, match="passphrase does not open"):
        unlock(store, SIGNER, PASSPHRASE)
    revoke(store, SIGNER, by=REGISTRAR, reason="left", chain=CHAIN)
    with pytest.raises(RuleError, match="no key in force"):
        unlock(store, SIGNER, "another one")
