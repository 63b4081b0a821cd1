"""The packets of the sample season: every row of the answers is on them, and no other name."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from ledger.chain.canonical import canonical
from ledger.chain.hashing import leaf_hash
from ledger.derive.engine import Engine
from ledger.derive.rule_header import rule_header
from ledger.papers.press.heads import CHECKPOINT, Heads
from ledger.papers.press.paper_file import NAME
from ledger.papers.sheets.packets import PROOF, STATEMENTS, packet_sheet
from ledger.record.authority import role_name
from ledger.review.timeline import said_in
from ledger.say import codes, packets
from ledger.say.clock import local_clock, local_time
from ledger.say.signing import PRESENTS, RECEIVES
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.check import check_proof
from ledger.witness.proof import unpack_proof
from tests.papers.samples import squeeze
from tests.papers.sheets.packet_pages import Printed, childrens_names, print_packet
from tests.sample.office import EXHIBIT
from tests.signed_season import season

CASE, GAME, TEAM, PLAYER = "late-plays", "acorn-3b", "quokkas", "k529"
OPEN = "2026-09-22T17:00:00.000Z"
Rows = list[dict[str, Any]]


@pytest.fixture(scope="module")
def protest(signed: SqliteStore, tmp_path_factory: pytest.TempPathFactory) -> Printed:
    to = tmp_path_factory.mktemp("protest") / "packet.pdf"
    return print_packet(signed, CASE, "protest_packet", to)


@pytest.fixture(scope="module")
def review(signed: SqliteStore, tmp_path_factory: pytest.TempPathFactory) -> Printed:
    to = tmp_path_factory.mktemp("review") / "packet.pdf"
    return print_packet(signed, "mixed-numbers", "review_packet", to)


@pytest.fixture(scope="module", params=["protest", "review"])
def either(request: pytest.FixtureRequest) -> Printed:
    printed: Printed = request.getfixturevalue(request.param)
    return printed


def rows(printed: Printed, answer: str, **of: str) -> Rows:
    """An answer of the events that the packet was made from."""
    engine = Engine(printed.packet.stored)
    try:
        return engine.answer(answer, **of).dicts()
    finally:
        engine.close()


def local(utc: str) -> str:
    return local_time(utc, "America/Chicago")


# What a reader looks for first


def test_the_first_page_says_what_is_asked_what_holds_and_what_was_ruled(protest: Printed) -> None:
    first = squeeze(protest.pages[0])
    for said in (
        "Is the protest about number 46 of Quillowick Quokkas in game acorn-3b right,",
        "“46 came after kickoff and had plays before the half. Late children play after it.”",
        "Asked by Euphemia Raincobble, coach of Mossbottom Marmots, Mon, Sep 21, 2026, 7:48 AM CDT",
        "Closed. Ruled: upheld, by Persephone Tumblethatch, division president, Thu, Sep 24,",
        "Upheld. “Four plays were before the half and should not have been. No blame on the",
        "Plays the second half only and may carry the ball",
        "Plays of No. 46: 6 plays counted after the first half, 10 due: 4 short.",
        "Answered Thu, Sep 24, 2026, 8:15 PM CDT, in time.",
        "Yes. Protests about this game were due Mon, Sep 21, 2026, 4:25 PM CDT. This one came",
        "No. No other case is about this player, list or game.",
        "No. 46: 4 plays in the first half; 6 plays in the second half.",
        "Denied: The protest is not right.",
        "Decision form: page 2. Exhibit A, sheet.txt: page 3.",
        "it accuses nobody. The ledger disqualifies nobody",
    ):
        assert squeeze(said) in first


def test_an_exhibit_that_the_ledger_keeps_is_printed(protest: Printed) -> None:
    third = squeeze(protest.pages[2])
    assert squeeze("Exhibit A: sheet.txt, 82 bytes Handed in by Euphemia Raincobble") in third
    assert squeeze(EXHIBIT) in third


def test_the_decision_form_is_on_the_back_of_the_first_page(either: Printed) -> None:
    second = squeeze(either.pages[1])
    assert squeeze("Decision") in second
    assert squeeze("What another answer would change") in squeeze(either.pages[0])
    assert squeeze(": weighbook case rule") in second
    assert "X" in second


def test_every_page_says_which_paper_of_how_many_it_is(either: Printed) -> None:
    for number, page in enumerate(either.pages, start=1):
        assert f"Page {number} of {len(either.pages)}" in page
        assert "Children’s names." in page
        assert squeeze(f"case {either.paper.case_id}") in squeeze(page)


def test_the_index_names_the_page_of_every_section(either: Printed) -> None:
    page = next(page for page in either.pages if "The full record" in page)
    first = " ".join(page.split())
    for number, (_, title) in enumerate(either.paper.sections, start=1):
        heading = f"{number}. {title}"
        listed = re.search(rf"{re.escape(heading)}[. ]*(\d+)", first)
        assert listed
        assert squeeze(heading) in squeeze(either.pages[int(listed[1]) - 1])


# Every row of the answers


def test_eligibility_of_the_players_asked_about(either: Printed) -> None:
    shown = 0
    for row in rows(either, "eligibility", game=either.packet.games[0]["game"]):
        if row["player"] in either.packet.asked:
            assert either.says(packets.eligible(row, "this case"))
            shown += 1
    assert shown == len(either.packet.asked)


def test_then_and_now_stand_beside_one_another(protest: Printed) -> None:
    now = "Plays the second half only and may carry the ball; by the scale, weighed late Differs"
    assert protest.says(f"Zofia Świerszczyk Does not play; not weighed; listed as absent {now}")


def test_every_line_of_the_lists(either: Printed) -> None:
    for game, team in either.packet.sides:
        lines = rows(either, "ineligible_list", game=game, team=team)
        assert lines
        for line in lines:
            reason = codes.reason(line["reason"])
            clock = local_clock(line["listed_at"], "America/Chicago")
            if line["player"] not in either.packet.asked:
                assert either.says(f"No. {line['number']} {reason} {clock},")
            else:
                assert either.says(f"{reason} {clock},")


def test_every_signature_with_name_time_and_meaning(protest: Printed) -> None:
    """Printed name, date and time, meaning: 21 CFR 11.50(a), quoted; a model for a league."""
    given = rows(protest, "list_signatures", game=GAME, team=TEAM)
    assert {row["side"] for row in given} == {TEAM, "marmots"}
    for row in given:
        is_own = row["side"] == TEAM
        meaning = PRESENTS if is_own else RECEIVES
        name = "Fergal Tanglebrook" if is_own else "Ignatius Larkspoon"
        assert protest.says(f"{meaning} Signed on the sheet event {row['event_id']}")
        assert protest.says(f"{name} {local(row['signed_at'])}")


def test_every_finding_with_what_it_rests_on(either: Printed) -> None:
    assert either.packet.case.findings
    for row in either.packet.case.findings:
        assert either.says(rule_header(row["rule"]).what[1:])
        assert either.says(row["detail"])
        assert all(either.says(event) for event in row["events"][:6])


def test_every_statement_about_the_player_and_the_case(
    protest: Printed, signed: SqliteStore
) -> None:
    """Looked up in the ledger by game, player and case; not by what the packet chose."""
    about = [s.event for s in signed.events(player=[PLAYER]) if s.event.game == GAME]
    case_kinds = ["case_refer", "case_statement", "case_exhibit", "ruling", "case_close"]
    of_case = [s.event for s in signed.events(kind=case_kinds) if s.event.data["case"] == CASE]
    said = said_in(signed, {event.id for event in (*about, *of_case)})
    assert len({event.id for event in (*about, *of_case)}) == 13
    for event in (*about, *of_case):
        assert protest.says(event.id)
        assert protest.says(local_clock(str(event.at), "America/Chicago"))
        assert protest.says(f"“{said[event.id]}”" if event.id in said else "")
    assert protest.says("No. 46 Zofia Świerszczyk: put on the list as absent")


def test_struck_off_without_a_reason_blames_nobodys_gear(protest: Printed) -> None:
    assert protest.says("struck off the list (was: absent or incomplete gear) Ignatius Larkspoon")
    assert not protest.says("absent and gear not complete")


def test_both_sides_and_what_each_ruling_would_change(protest: Printed) -> None:
    assert protest.says("Visitors: Quillowick Quokkas")
    assert protest.says("I sent the child in too early. I did not know the rule; now I do.")
    assert protest.says("Home: Mossbottom Marmots")
    tried = "Does not play; by a ruling No change No change May carry the ball No change"
    assert protest.says(f"Does not play {tried}")


def test_who_wore_which_number(review: Printed) -> None:
    assert review.says("Sep 14, 2026, roster Becomes 81")
    assert review.says("Juniper Raincobble (as entered; on no roster)")
    assert review.says("Sep 14, 2026, roster Juniper Raincobble (k178): on the roster of")
    assert not review.says("another player, k178")


def test_where_number_name_and_id_lead(review: Printed) -> None:
    here = "Nobody No. 30 Juniper Raincobble (entered by name)"
    for looked_up, now in (
        ("No. 30", "No. 30 Juniper Raincobble (k178)"),
        ("The name Juniper Raincobble", "No. 30 Juniper Raincobble (k178)"),
        ("The id unlisted-acorn-2b-dormice-30", "Nobody"),
    ):
        assert review.says(f"{looked_up} {here} {now}")
    assert review.says("Juniper Raincobble (k178): added to the roster as number 30")


# Who decides


def test_a_question_that_was_passed_on_is_for_whoever_has_it_now(signed: SqliteStore) -> None:
    paper = packet_sheet(Heads(signed), CASE, "protest_packet", as_of=OPEN).context["paper"]
    assert "Open, with the division president." in paper.front.facts[0].text
    assert "by the division president, who has the question now" in paper.decision.decides
    assert paper.decision.signatures[0].side == "Division president"
    assert [one.role for one in paper.reviewers if one.is_next] == ["Division president"]
    assert "What was ruled" not in {fact.label for fact in paper.front.facts}


def test_a_question_that_was_closed_is_not_to_be_decided_again(signed: SqliteStore) -> None:
    for case, said in {
        CASE: "The question is ruled on and closed. Change it only if a reviewer takes it up",
        "lost-binder": "The question is closed without a ruling. Change it only if",
    }.items():
        paper = packet_sheet(Heads(signed), case, "review_packet").context["paper"]
        assert paper.decision.decides.startswith(said)


# The files


def test_the_files_say_what_they_are(either: Printed) -> None:
    with pikepdf.open(either.path) as pdf:
        found = {
            name: (str(spec.relationship), spec.get_file().mime_type)
            for name, spec in pdf.attachments.items()
        }
    assert found == {
        CHECKPOINT: ("/Data", "text/plain"),
        STATEMENTS: ("/Source", "application/json"),
        PROOF: ("/Source", "application/gzip"),
        NAME: ("/Data", "application/json"),
    }


def test_the_statements_are_the_ledgers_letter_for_letter(
    either: Printed, signed: SqliteStore
) -> None:
    """Each hash is that of the event as RFC 8785 writes it, after a zero byte (RFC 9162, 2.1.1)."""
    content = json.loads(either.files[STATEMENTS])
    assert content["case"] == either.paper.case_id
    found = {one["id"]: one for one in content["statements"]}
    assert either.packet.shown_ids <= set(found)
    stored = {s.event.id: s for s in signed.events_by_id(list(found))}
    for event_id, one in found.items():
        assert leaf_hash(canonical(one["event"])).hex() == one["hash"]
        assert canonical(one["event"]).decode() == stored[event_id].body
    places = [stored[event_id].order for event_id in found]
    assert places == sorted(places)
    said = {text for one in found.values() for text in one.get("texts", {}).values()}
    assert {shown.said for shown in either.packet.timeline if shown.said} <= said


def test_the_proof_holds_and_proves_every_statement(either: Printed) -> None:
    checked = check_proof(unpack_proof(either.files[PROOF]))
    assert checked.ok
    statements = {one["id"] for one in json.loads(either.files[STATEMENTS])["statements"]}
    assert statements <= {event.id for event in checked.events}
    more = len(checked.events) - len(statements)
    assert either.says(f"{len(checked.events)} entries (the {len(statements)} of {STATEMENTS}")
    assert either.says(f"and {more} that carr")
    assert either.says(f"and {len(checked.texts)} texts")


def test_no_other_child_is_named_anywhere(either: Printed, signed: SqliteStore) -> None:
    """In text, metadata, bookmarks and files, those of the proof unpacked."""
    everything, names = either.everything(), childrens_names(signed)
    assert len(names) > 150
    assert {name for name in names.values() if squeeze(name) in everything} == (
        {"Zofia Świerszczyk"}
        if either.paper.case_id == CASE
        else {"Tilda Thistlequill", "Tilly Thistlequill", "Juniper Raincobble"}
    )


AT_ONE_TIME = (
    "from ledger.papers.press import heads; heads.now_utc = lambda: '2026-11-28T12:00:00.000Z'; "
    "from ledger.commands import main; main()"
)


def test_two_fresh_processes_give_the_same_bytes(tmp_path: Path) -> None:
    """Whatever the hash seed, the zone and the language."""
    with season(tmp_path / "season.weighbook"):
        pass
    made = []
    for number, (seed, zone, lang) in enumerate(
        [("1", "UTC", "C"), ("2", "Asia/Tokyo", "C.UTF-8")]
    ):
        to = tmp_path / f"{number}.pdf"
        command = [sys.executable, "-c", AT_ONE_TIME, "print", "protest-packet", CASE]
        command += ["--store", str(tmp_path / "season.weighbook"), "--to", str(to)]
        surroundings = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": lang}
        subprocess.run(command, check=True, env=surroundings, cwd=Path(__file__).parents[2])
        made.append(to.read_bytes())
    assert made[0] == made[1]


def test_a_question_closed_without_a_ruling_says_why(signed: SqliteStore, tmp_path: Path) -> None:
    """It is about no game either, so there is nobody to play or carry."""
    printed = print_packet(signed, "lost-binder", "review_packet", tmp_path / "packet.pdf")
    closed = "Godfrey Qamarwarda, registrar, Thu, Oct 8, 2026, 5:45 PM CDT. “found under the bench"
    assert squeeze(f"Closed by {closed}") in squeeze(printed.pages[0])
    assert printed.says("Because")
    assert not printed.says("May carry")


@pytest.mark.parametrize("case", ["slow-answer", "second-opinion", "late-protest"])
def test_other_cases(case: str, signed: SqliteStore, tmp_path: Path) -> None:
    """Of safety, denied in the end, about a whole team."""
    printed = print_packet(signed, case, "protest_packet", tmp_path / "packet.pdf")
    everything, asked = printed.everything(), printed.packet.asked
    names = childrens_names(signed)
    assert not [
        n for player, n in names.items() if player not in asked and squeeze(n) in everything
    ]
    for one in printed.packet.case.reviewers:
        assert printed.says(role_name(one.role)[1:])
