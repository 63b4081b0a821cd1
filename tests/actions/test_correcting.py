"""Correcting tables that were loaded: what is recorded, from when it counts, what is refused."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger.actions.asking import ACTING, Acting, AskAboutTextsError, AskPassphraseError
from ledger.actions.correcting import ToCorrect, correct_tables, look_before_correcting
from ledger.actions.erasing import erase_child, look_before_erasing
from ledger.actions.keys import enroll
from ledger.actions.status import status
from ledger.audit.audit import audit
from ledger.derive.answers import ask
from ledger.derive.changes import find_changes
from ledger.derive.engine import Engine
from ledger.derive.signatures import Signatures
from ledger.errors import FolderError, InputError, RuleError
from ledger.record.accepted import Accepted
from ledger.record.folder import read_folder
from ledger.record.statements import KINDS
from ledger.review.packet_names import find_namesakes
from ledger.say.changes import changes_content, changes_lines
from ledger.say.names import Names
from ledger.say.proofs import sections
from ledger.say.since_signed import since
from ledger.store.acts import roles_given
from ledger.store.league import league_data
from ledger.store.loading import load_folder
from ledger.store.recording import record_statement
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.check import check_proof
from ledger.witness.prove import prove_statements
from ledger.witness.witnessed import witnessed
from tests.signing import morning
from tests.tiny import LEAGUE, TEXTS, day, disclosed, says, tiny_store, write_folder

BEFORE, NOW = "2026-09-06T11:59:59.999Z", "2026-09-06T12:00:00.000Z"
SECRET = "a sunny morning"
LINES = day(
    says("station", game="g1", reading="10", limit="100"),
    says("weigh", game="g1", team="ash", number=1, value="over"),
)
WHY = "typing mistake"
STRIPE = {"at": NOW, "entered": NOW, "game": "g1", "team": "ash", "by": "we"}


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return tmp_path / "season"


@pytest.fixture
def store(season: Path) -> Iterator[SqliteStore]:
    """The tiny season with one weigh; the ledger's clock stands at NOW."""
    with tiny_store(write_folder(season, day=LINES)) as own:
        own.clock = lambda: NOW
        yield own


def changed(table: str, old: str, new: str) -> dict[str, Any]:
    assert old in TEXTS[table]
    return {table: TEXTS[table].replace(old, new)}


def look(store: SqliteStore, season: Path, *, by: str = "rg", reason: str = WHY,
         acting: Acting = ACTING, lines: str = LINES, **files: str) -> ToCorrect:  # fmt: skip
    folder = read_folder(write_folder(season, day=lines, **files))
    return look_before_correcting(store, folder, by=by, reason=reason, acting=acting)


def correct(store: SqliteStore, season: Path, acting: Acting = ACTING, **files: str) -> list[str]:
    shown = look(store, season, acting=acting, **files)
    return [act.event_id for act in correct_tables(store, shown, acting).acts]


def refused(store: SqliteStore, season: Path, **files: str) -> list[str]:
    with pytest.raises(FolderError) as caught:
        look(store, season, **files)
    return [str(fault) for fault in caught.value.faults]


def rules(store: SqliteStore, **moment: str) -> set[str]:
    return {row["rule"] for row in ask(store, "findings", **moment).answer.dicts()}


def test_a_correction_is_an_event_of_the_rows_kind(store: SqliteStore, season: Path) -> None:
    (event_id,) = correct(store, season, **changed("players", "a1,ash,1,Pip", "a1,ash,7,Pipp"))
    event = store.event(event_id)
    (row, *_) = store.events(kind=["player"], player=["a1"])
    assert (event.kind, event.team, event.player) == ("player", "ash", "a1")
    assert (event.at, event.entered, event.by) == (None, NOW, "rg")
    assert event.data.keys() == {"number", "corrects", "digests"}
    assert (event.data["number"], event.data["corrects"]) == (7, row.id)
    assert disclosed(store, event) == {"name": "Pipp Quillfeather", "reason": WHY}
    assert audit(store.connection).ok
    assert not [note for note in audit(store.connection).notes if "correction" in note]


def test_it_counts_from_its_entry_on_for_the_whole_season(store: SqliteStore, season: Path) -> None:
    """The scale was set to 100 on Saturday; on Sunday the limit turns out to be 95."""
    correct(store, season, **changed("divisions", "100", "95"))
    assert "limit_wrong" in rules(store)
    assert "limit_wrong" not in rules(store, as_of=BEFORE)
    assert "limit_wrong" in rules(store, as_of=NOW)
    assert "limit_wrong" not in rules(store, known_at=BEFORE)


def test_each_table_can_be_corrected(store: SqliteStore, season: Path) -> None:
    files = {
        "league": LEAGUE.replace("Invented", "Other") + "[weigh_in]\nattempts = 2\n",
        **changed("divisions", "One,100", "First,95"),
        **changed("teams", "ash,grove,d1,Ash Trees", "ash,,d1,Ashes"),
        **changed("players", "a1,ash,1,Pip", "a1,ash,7,Pipp"),
        **changed("officials", "Ivo", "Ivar"),
        **changed("games", "05T10:00,Green", "05T10:30,Meadow"),
    }
    shown = look(store, season, **files)
    told = {
        (row.stated.kind, one.column): (one.before, one.now)
        for row in shown.found.rows
        for one in row.changes
    }
    assert told == {
        ("league", "name"): ("'Invented League'", "'Other League'"),
        ("league", "weigh_in.attempts"): ("1", "2"),
        ("division", "name"): ("'One'", "'First'"),
        ("division", "carrier_limit_lb"): ("100.00", "95.00"),
        ("team", "name"): ("'Ash Trees'", "'Ashes'"),
        ("team", "association"): ("'grove'", "nothing"),
        ("player", "name"): ("'Pip Quillfeather'", "'Pipp Quillfeather'"),
        ("player", "number"): ("1", "7"),
        ("official", "name"): ("'Ivo Larkspur'", "'Ivar Larkspur'"),
        ("game", "kickoff"): ("'2026-09-05 10:00-05:00'", "'2026-09-05 10:30-05:00'"),
        ("game", "site"): ("'Green'", "'Meadow'"),
    }
    correct_tables(store, shown)
    held = status(store)
    assert held.league == "Other League"
    assert [team.name for team in held.teams] == ["Ashes", "Elm Trees"]
    first = held.games[0]
    assert (first.kickoff, first.site) == ("2026-09-05T15:30:00.000Z", "Meadow")
    assert held.entries["g1"] == 2
    assert league_data(store)["weigh_in"]["attempts"] == 2
    names = Names(store, [stored.event for stored in store.events()])
    assert (names.of("a1"), names.of("we")) == ("Pipp Quillfeather", "Ivar Larkspur")
    then = Names(store, [stored.event for stored in store.events()], as_of=BEFORE)
    assert (then.of("a1"), then.of("we")) == ("Pip Quillfeather", "Ivo Larkspur")
    assert audit(store.connection).ok


def test_loading_compares_with_the_row_that_counts_now(store: SqliteStore, season: Path) -> None:
    files = changed("divisions", "100", "95")
    correct(store, season, **files)
    with store.writing() as writing:
        folder = read_folder(write_folder(season, day=LINES, **files))
        assert load_folder(writing, folder, chain="tent").lines_added == 0
    with store.writing() as writing, pytest.raises(FolderError, match=r"found 100.00, but 95.00"):
        load_folder(writing, read_folder(write_folder(season, day=LINES)), chain="office")
    with pytest.raises(InputError, match="nothing to correct"):
        look(store, season, **files)
    (again,) = correct(store, season, **changed("divisions", "100", "97.5"))
    (row, *_) = store.events(kind=["division"])
    assert store.event(again).data["corrects"] == row.id  # not the correction before it


def test_numbers_looked_up_before_stay(store: SqliteStore, season: Path) -> None:
    """A weigh of number 1 was a1's; from now on, number 1 is nobody's and 7 is."""
    correct(store, season, **changed("players", "a1,ash,1", "a1,ash,7"))
    with store.writing() as writing:
        event_id = record_statement(writing, KINDS["stripe"](number=7, **STRIPE), chain="office")
        with pytest.raises(FolderError, match="1, which is not on the roster of ash"):
            record_statement(writing, KINDS["stripe"](number=1, **STRIPE), chain="office")
    assert store.event(event_id).player == "a1"
    (weigh, *_) = store.events(kind=["weigh"])
    assert (weigh.event.player, weigh.event.data["number"]) == ("a1", 1)


def test_a_corrected_kickoff_tells_which_roster_counts(store: SqliteStore, season: Path) -> None:
    late = {"at": "2026-09-05T16:00:00.000Z", "entered": NOW, "by": "rg"}
    correct(store, season, **changed("games", "05T10:00", "05T12:00"))
    change = KINDS["number_change"](team="ash", player="a2", number=22, **late)
    with store.writing() as writing:
        record_statement(writing, change, chain="office")
        event_id = record_statement(writing, KINDS["stripe"](number=22, **STRIPE), chain="office")
    assert store.event(event_id).player == "a2"


def test_one_line_of_an_official_for_another(store: SqliteStore, season: Path) -> None:
    files = changed("officials", "we,Ivo Larkspur,weighmaster,elm", "we,Ivo Larkspur,coach,elm")
    assert "weighmaster_is_coach" not in rules(store)
    correct(store, season, **files)
    assert [one.role for one in roles_given(store) if one.official == "we"] == ["coach"]
    assert "weighmaster_is_coach" in rules(store)
    assert "weighmaster_is_coach" not in rules(store, as_of=BEFORE)


def test_which_of_two_lines_is_meant_is_not_guessed(store: SqliteStore, season: Path) -> None:
    (line,) = [line for line in TEXTS["officials"].splitlines() if line.startswith("we,")]
    lines = [line.replace("weighmaster", "coach"), line.replace("weighmaster,elm", "registrar,")]
    two = "\n".join(lines)
    (fault,) = refused(store, season, **changed("officials", line, two))
    assert fault.startswith("officials.csv: found no row for we weighmaster elm; expected every")


def test_a_corrector_may_correct_their_own_role_away(store: SqliteStore, season: Path) -> None:
    """The role counts as it was when they corrected; after that, they may not."""
    line = "rg,Kit Underbough,registrar"
    correct(store, season, **changed("officials", line, "rg,Kit Underbough,board_member"))
    assert not [note for note in audit(store.connection).notes if "no role" in note]
    with pytest.raises(RuleError, match="rg is board member"):
        look(store, season, **changed("divisions", "100", "95"))
    with store.writing() as writing:  # past the program
        writing.append([Accepted("season_close", {}, {}, NOW, NOW, "rg")], chain="office")
    assert [note for note in audit(store.connection).notes if "no role" in note]


def test_a_name_that_was_corrected_is_no_namesake(store: SqliteStore, season: Path) -> None:
    correct(store, season, **changed("players", "Ottla Bramblewick", "Pip Quillfeather"))
    assert find_namesakes(store, ["a1"], []) == {"a1": {"a2"}}
    correct(store, season)
    assert find_namesakes(store, ["a1"], []) == {}


def test_the_before_and_after(store: SqliteStore, season: Path) -> None:
    shown = look(store, season, league=LEAGUE + "[plays]\nminimum = 8\n",
                 **changed("games", "05T10:00", "05T08:30"))  # fmt: skip
    (game,) = shown.answers.games
    assert (game.game, game.before, game.after) == (
        "g1",
        {"kickoff_at": "2026-09-05T15:00:00.000Z"},
        {"kickoff_at": "2026-09-05T13:30:00.000Z"},
    )
    assert [row["rule"] for row in shown.answers.new] == []
    a1 = next(one for one in shown.answers.players if one.player == "a1")
    assert (a1.before, a1.after) == ({"required": 10}, {"required": 8})
    assert [stored.event.kind for stored in store.events()][-1] == "weigh"  # only a look
    shown = look(store, season, **changed("divisions", "100", "95"))
    assert [(row["rule"], row["game"]) for row in shown.answers.new] == [("limit_wrong", "g1")]
    assert shown.answers.players == shown.answers.gone == shown.answers.games == ()
    correct_tables(store, shown)
    shown = look(store, season)
    assert [row["rule"] for row in shown.answers.gone] == ["limit_wrong"]


@pytest.mark.parametrize(
    ("files", "told"),
    [
        (changed("teams", "elm,,d1", "elm,,d2") | {"divisions": TEXTS["divisions"] + "d2,Two,9\n",
            "games": TEXTS["games"].splitlines()[0]}, "division: found 'd2', but 'd1' was loaded"),
        (changed("players", "u1,,", "u1,ash,5"), "team: found 'ash', but nothing was loaded"),
        (changed("games", "Green,ash,elm", "Green,elm,ash"), "home: found 'elm', but 'ash'"),
        ({"league": LEAGUE.replace("2026", "2027")}, "season: found '2027', but '2026' was loaded"),
        ({"league": LEAGUE.replace("Chicago", "Denver")}, "time_zone: found 'America/Denver'"),
        (changed("players", "u1,,,Wren Saltmarsh\n", ""), "players.csv: found no row for u1"),
        (changed("games", "2026-09-05T10", "2199-09-05T10"), "kickoff: found '2199-09-05T10:00'"),
        ({"lines": LINES.replace("over", "ok")}, "value: found 'ok', but 'over' was loaded"),
        ({"lines": LINES + LINES.splitlines()[2] + "\n"}, "days/01.csv, line 4: found 1 new line"),
        (changed("officials", "weighmaster,ash", "weighmaster,oak")
         | {"teams": TEXTS["teams"] + "oak,,d1,Oak Trees\n"}, "team: found 'oak', which the led"),
    ],
)  # fmt: skip
def test_what_is_no_correction_is_refused(
    store: SqliteStore, season: Path, files: dict[str, str], told: str
) -> None:
    """Also beside a change that would be one."""
    one = {} if "league" in files or "officials" in files else changed("officials", "Ivo", "Ivar")
    assert any(told in fault for fault in refused(store, season, **one, **files))


def test_new_rows_are_left_for_the_next_load(store: SqliteStore, season: Path) -> None:
    files = changed("players", "a1,ash,1", "a1,ash,7")
    files = {"players": files["players"] + "b1,ash,1,Bo Yarrow\n"}
    shown = look(store, season, **files)
    assert (len(shown.found.rows), shown.found.new_rows) == (1, 1)
    correct_tables(store, shown)
    with store.writing() as writing:
        assert load_folder(writing, shown.folder, chain="office").rows_added == 1


@pytest.mark.parametrize("by", ["ap", "so", "we"])
def test_who_may_correct(store: SqliteStore, season: Path, by: str) -> None:
    files = changed("divisions", "100", "95")
    with pytest.raises(RuleError, match="Only the registrar or a division president may correct"):
        look(store, season, by=by, **files)
    with pytest.raises(InputError, match="no official nobody"):
        look(store, season, by="nobody", **files)
    assert look(store, season, by="dp", **files).found.rows


def test_texts_are_asked_about(store: SqliteStore, season: Path) -> None:
    with pytest.raises(AskAboutTextsError, match=r"reason: 'weighs 95'"):
        look(store, season, reason="Pip weighs 95 lb", **changed("divisions", "100", "95"))
    with pytest.raises(AskAboutTextsError, match=r"players.csv, line 2, name"):
        look(store, season, **changed("players", "Pip Quillfeather", "Pip 95 lb"))


def test_nothing_is_recorded_if_the_tables_changed_since(store: SqliteStore, season: Path) -> None:
    files = changed("divisions", "100", "95")
    shown = look(store, season, **files)
    correct(store, season, **changed("divisions", "100", "97"))
    with pytest.raises(RuleError, match="changed in the meantime"):
        correct_tables(store, shown)


def test_a_key_signs_each_correction(store: SqliteStore, season: Path) -> None:
    enroll(store, "rg", by="rg", acting=Acting(new_passphrase=SECRET))
    files = {**changed("divisions", "100", "95"), **changed("officials", "Ivo", "Ivar")}
    shown = look(store, season, **files)
    with pytest.raises(AskPassphraseError):
        correct_tables(store, shown)
    done = correct_tables(store, shown, Acting(passphrase=SECRET))
    assert [act.is_signed for act in done.acts] == [True, True]
    report = audit(store.connection)
    assert report.ok, report.problems
    assert witnessed(store) == store.lengths()
    files |= changed("divisions", "100", "97")
    with store.writing() as writing:
        record_statement(writing, KINDS["stripe"](number=1, **STRIPE), chain="office")
    correct(store, season, Acting("tent", passphrase=SECRET), **files)
    assert witnessed(store) == store.lengths()  # it names how long the office's chain is
    with store.writing() as writing:  # what says that it is signed must have its checkpoint
        body = shown.found.rows[0].as_event(by="rg", reason=WHY, entered=NOW)
        body.data.update(how="key", others={})
        writing.append([body], chain="office")
    assert [problem.problem for problem in audit(store.connection).problems] == ["gap"]


def test_the_audit_notes_a_correction_without_a_role(store: SqliteStore, season: Path) -> None:
    (one,) = look(store, season, **changed("divisions", "100", "95")).found.rows
    with store.writing() as writing:
        writing.append([one.as_event(by="ap", reason=WHY, entered=NOW)], chain="office")
    (note,) = [note for note in audit(store.connection).notes if "no role" in note]
    assert note.startswith("correction of division office:")


def test_the_audit_notes_what_the_program_does_not_write(store: SqliteStore, season: Path) -> None:
    """A correction dated back, and one that would hide a row of another kind."""
    (one,) = look(store, season, **changed("divisions", "100", "95")).found.rows
    (player, *_) = store.events(kind=["player"])
    body = one.as_event(by="rg", reason=WHY, entered=NOW)
    odd = replace(body, data=body.data | {"corrects": player.id})
    with store.writing() as writing:
        dated, hiding = writing.append([replace(body, entered=BEFORE), odd], chain="office")
    report = audit(store.connection)
    assert report.ok
    assert f"{dated} says that it was entered at another time than it was recorded" in report.notes
    assert f"{hiding} corrects {player.id}, which is no division of the tables" in report.notes


def test_an_erased_name_is_not_corrected(store: SqliteStore, season: Path) -> None:
    """The folder still has it; a correction of the number would keep it again."""
    correct(store, season, **changed("players", "Pip", "Pipp"))
    erase_child(store, look_before_erasing(store, "a1", by="rg", reason="asked"))
    texts = "".join(str(disclosed(store, stored.event)) for stored in store.events())
    assert "Pip" not in texts
    assert WHY not in texts
    with pytest.raises(InputError, match="nothing to correct"):
        look(store, season)
    (fault,) = refused(store, season, **changed("players", "a1,ash,1", "a1,ash,7"))
    assert fault.endswith("its name was erased, and a correction would keep it again")
    names = Names(store, [stored.event for stored in store.events()])
    assert names.of("a1") == "erased"
    assert audit(store.connection).ok


def test_a_new_chain_keeps_the_leagues_first_name(store: SqliteStore, season: Path) -> None:
    """Also under a clock set back, where the correction comes first in ledger order."""
    store.clock = lambda: "2020-01-01T12:00:00.000Z"
    correct(store, season, Acting("tent"), league=LEAGUE.replace("Invented", "Other"))
    correct(store, season, Acting("booth"), league=LEAGUE.replace("Invented", "Next"))
    for chain in ("tent", "booth"):
        (begun,) = store.events(kind=["chain_key"], chain=[chain])
        assert begun.event.data["origin"] == f"invented-league/2026/{chain}"
    assert audit(store.connection).ok


def test_a_change_is_explained_by_the_correction(store: SqliteStore, season: Path) -> None:
    correct(store, season, **changed("players", "a1,ash,1", "a1,ash,7"))
    events = list(store.events())
    (change,) = find_changes(events, "g1", since=BEFORE, until=NOW)
    assert change.before is not None
    assert change.after is not None
    assert (change.before["number"], change.after["number"]) == (1, 7)
    span = {"from": BEFORE, "to": NOW, "clock": "entered"}
    content = changes_content([change], "g1", span, "America/Chicago", str)
    assert content["changes"][0]["corrections"][0]["table"] == "players.csv"
    assert changes_lines(content, "America/Chicago")[-1].text == (
        "– players.csv corrected for a1, Sun, Sep 6, 2026, 7:00 AM CDT, by rg (office:23)."
    )
    assert find_changes(events, "g1", since=NOW, until=None) == []


def test_a_signed_list_says_which_table_was_corrected_since(tmp_path: Path) -> None:
    with morning(tmp_path) as one:
        one.state("weigh", player="a1", value="over", by="we")
        one.sign("we")
        one.store.clock = lambda: NOW
        files = changed("players", "a1,ash,1", "a1,ash,7") | changed("officials", "Ivo", "Ivar")
        correct(one.store, tmp_path / "season", lines="", **files)
        events = list(one.store.events())
        engine = Engine(events)
        (signed,) = Signatures(engine, events).of("g1", "ash")
        assert (signed.state, [change.player for change in signed.changes]) == ("changed", ["a1"])
        (told,) = since([signed], "America/Chicago", str)
        assert told.statements[-1].startswith("players.csv corrected for a1, Sun, Sep 6, 2026, 7:0")
        assert audit(one.store.connection).ok


def test_a_proof_names_a_signer_by_the_corrected_role(store: SqliteStore, season: Path) -> None:
    enroll(store, "rg", by="rg", acting=Acting(new_passphrase=SECRET))
    files = changed("officials", "rg,Kit Underbough,registrar", "rg,Kit Underbough,board_member")
    (event_id,) = correct(store, season, Acting(passphrase=SECRET), **files)
    checked = check_proof(prove_statements(store, [event_id]))
    lines = [line for section in sections(checked) for line in section.lines]
    assert any("rg (board member) on " in line for line in lines)
