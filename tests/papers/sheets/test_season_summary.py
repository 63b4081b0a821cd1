"""The season summary: its numbers are those that a plain count of the ledger gives.

The counts here are made from the statements themselves and from the slow reference
(tests/reference_rules.py), never from the SQL.
"""

from __future__ import annotations

import base64
import json
import re
from collections import Counter, defaultdict
from datetime import datetime
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from ledger.chain.disclosure import open_disclosure
from ledger.derive.findings import rules
from ledger.derive.rule_header import AREAS, rule_header
from ledger.derive.season_counts import child_rules
from ledger.derive.suppress import FEWER_WORDS, WITHHELD_WORDS
from ledger.papers.press.charts import WIDTH, Bar, draw_bars
from ledger.papers.press.compose import compose
from ledger.papers.press.heads import CHECKPOINT, Heads
from ledger.papers.press.paper_file import NAME
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.season import season_sheet
from ledger.papers.sheets.season_numbers import NUMBERS, duration, lay_rule, of_children
from ledger.record.kinds import OWN
from ledger.say import season as say
from ledger.store.opening import open_store
from ledger.store.sqlite.store import SqliteStore
from tests.bench.big_season import big_store
from tests.papers.pdf_checks import check_pdf
from tests.papers.samples import pages, printed_sheet, squeeze
from tests.reference_rules import exposure, findings
from tests.review.cases_of import adds, opens, season
from tests.tiny import says

Rows = list[dict[str, Any]]
OFF = "oak-3b"
NOTHING_YET = "2025-01-01T00:00:00.000Z"


@pytest.fixture(scope="module")
def sheet(signed: SqliteStore) -> Sheet:
    return season_sheet(Heads(signed))


@pytest.fixture(scope="module")
def numbers(sheet: Sheet) -> dict[str, Any]:
    return read_numbers(sheet)


@pytest.fixture(scope="module")
def events(signed: SqliteStore) -> Rows:
    """Without the ledger's own: keys, enrollments."""
    every = [json.loads(stored.body) for stored in signed.events()]
    return [event for event in every if event["kind"] not in OWN]


@pytest.fixture(scope="module")
def counting(events: Rows) -> Rows:
    """The statements that are not withdrawn, in ledger order."""
    ids = {f"{event['chain']}:{event['seq']}": event for event in events}
    gone: set[str] = set()
    for event in reversed(events):
        if event["kind"] == "withdraw" and f"{event['chain']}:{event['seq']}" not in gone:
            gone.add(event["data"]["target"])
    return [event for key, event in ids.items() if "at" in event and key not in gone]


@pytest.fixture(scope="module")
def found(events: Rows) -> Rows:
    return findings(events)


def read_numbers(sheet: Sheet) -> dict[str, Any]:
    (file,) = (file for file in sheet.attachments if file.name == NUMBERS)
    content: dict[str, Any] = json.loads(file.content)
    return content


def scope(numbers: dict[str, Any], kind: str, name: str = "") -> dict[str, Any]:
    (one,) = (s for s in numbers["scopes"] if (s["kind"], s["id"]) == (kind, name))
    return dict(one)


def teams_of(events: Rows) -> dict[str, str]:
    return {e["team"]: e["data"]["association"] for e in events if e["kind"] == "team"}


def scopes_of(events: Rows) -> list[tuple[str, str, set[str] | None]]:
    """Kind, id and teams of every scope; the league has all, and what names no team."""
    teams = teams_of(events)
    associations = [
        ("association", name, {team for team, of in teams.items() if of == name})
        for name in sorted(set(teams.values()))
    ]
    return [("league", "", None), *associations, *(("team", team, {team}) for team in teams)]


def test_games_and_scales(numbers: dict[str, Any], events: Rows, counting: Rows) -> None:
    games = {e["game"]: e["data"] for e in events if e["kind"] == "game"}
    weighed = {e["game"] for e in counting if e["kind"] in ("weigh", "late_weigh")} - {OFF}
    stations = [e for e in counting if e["kind"] == "station" and e["game"] != OFF]
    # Check weight 10 lb, division 0.5 lb: one division (NIST Handbook 44, Table 6, quoted).
    passing = [e for e in stations if abs(e["data"]["reading_clb"] - 1000) <= 50]
    for kind, name, teams in scopes_of(events):
        own = {g for g, d in games.items() if teams is None or teams & {d["home"], d["visitor"]}}
        steps = scope(numbers, kind, name)["steps"]
        assert steps["games"] == len(own - {OFF})
        assert steps["weighed"] == len(own & weighed)
        assert steps["proved"] == len(own & weighed & {e["game"] for e in passing})
        assert steps["checks"] == sum(1 for e in stations if e["game"] in own)
        assert steps["checks_passed"] == sum(1 for e in passing if e["game"] in own)
    assert scope(numbers, "league")["steps"]["off"] == 1


def test_signatures(numbers: dict[str, Any], events: Rows, counting: Rows) -> None:
    games = {e["game"]: e["data"] for e in events if e["kind"] == "game" and e["game"] != OFF}
    masters = {
        (e["data"]["official"], e.get("team"))
        for e in events
        if e["kind"] == "official" and e["data"]["role"] == "weighmaster"
    } | {
        (e["data"]["value"], e.get("team"))
        for e in counting
        if e["kind"] == "appoint" and e["data"]["to"] == "weighmaster"
    }
    ways: dict[tuple[str, str, str], set[str]] = defaultdict(set)
    for event in counting:
        if event["kind"] == "countersign":
            sides = games[event["game"]]
            for side in (sides["home"], sides["visitor"]):
                if (event["by"], side) in masters:
                    how = event["data"].get("how", "sheet")
                    ways[event["game"], event["team"], side].add(how)
    due = [
        (game, team, side)
        for game, sides in games.items()
        for team in (sides["home"], sides["visitor"])
        for side in (sides["home"], sides["visitor"])
    ]
    for kind, name, teams in scopes_of(events):
        own = [ways[key] for key in due if teams is None or key[2] in teams]
        expected = Counter(
            next((how for how in ("key", "ink", "sheet") if how in given), "missing")
            for given in own
        )
        steps = scope(numbers, kind, name)["steps"]
        assert {how: steps[how] for how in ("key", "ink", "sheet", "missing")} == {
            how: expected[how] for how in ("key", "ink", "sheet", "missing")
        }
    assert scope(numbers, "league")["steps"]["key"] == 4


def test_findings_about_steps(numbers: dict[str, Any], events: Rows, found: Rows) -> None:
    of_children = set(child_rules())
    assert {row["rule"] for row in found if row["player"]} <= of_children
    days = {f"{prefix}{week}": week - 1 for week in range(1, 8) for prefix in ("acorn-", "oak-")}
    for kind, name, teams in scopes_of(events):
        own = [
            row
            for row in found
            if row["rule"] not in of_children and (teams is None or counts_for(row) in teams)
        ]
        counted = scope(numbers, kind, name)
        assert counted["findings_by_rule"] == dict(Counter(row["rule"] for row in own))
        assert counted["steps"]["findings"] == len(own)
        weeks = Counter(days[row["game"][:-1]] for row in own if row["game"])
        assert counted["findings_by_week"] == [weeks[week] for week in range(7)]
        assert counted["findings_of_no_week"] == sum(1 for row in own if not row["game"])


def counts_for(finding: dict[str, Any]) -> Any:
    """The side that owes a missing signature, the team that any other finding names."""
    return finding["side"] or finding["team"]


def test_a_missing_signature_counts_for_the_side_that_owes_it(numbers: dict[str, Any]) -> None:
    """Beside each other stand what a team gave of its signatures, and what it left out."""
    missing = {one["id"]: one["steps"]["missing"] for one in numbers["scopes"]}
    assert sum(missing.values()) > missing[""] > 0
    for one in numbers["scopes"]:
        assert one["findings_by_rule"].get("list_not_countersigned", 0) == missing[one["id"]]


def test_children(numbers: dict[str, Any], events: Rows, counting: Rows, found: Rows) -> None:
    """Whatever number of children is printed is the true one, and no small one is printed."""
    rows = exposure(events)
    first: dict[tuple[str, str, str], dict[str, Any]] = {}
    for event in sorted(counting, key=lambda event: str(event["at"])):
        if event["kind"] in ("weigh", "late_weigh") and event["game"] != OFF:
            first.setdefault((event["game"], event["team"], event["player"]), event)
    measures: dict[str, Rows] = {
        "plays_due": [row for row in rows if row["status"] != "not_required"],
        "plays_short": [row for row in rows if row["status"] == "short"],
        "late": [event for event in first.values() if event["kind"] == "late_weigh"],
    }
    by_rule: dict[str, Rows] = defaultdict(list)
    for row in found:
        if row["rule"] in set(child_rules()) - {"plays_short"}:
            by_rule[row["rule"]].append(row)
    # No game is moved past another week's, so dates of games are their order.
    kickoffs = {e["game"]: e["data"]["kickoff"] for e in events if e["kind"] == "game"}

    concerned = [row for rows in (*measures.values(), *by_rule.values()) for row in rows]
    concerned.sort(key=lambda row: (kickoffs[row["game"]], row["game"]))
    # A child on two teams counts for that of the latest game.
    team_of = {row["player"]: row["team"] for row in concerned}

    for kind, name, teams in scopes_of(events):
        printed = scope(numbers, kind, name)["children"]
        in_rules = printed["by_rule"]
        pairs = [(printed[key], measures[key]) for key in ("plays_due", "plays_short", "late")]
        pairs += [(text, by_rule[rule]) for rule, text in in_rules.items()]
        for text, children in pairs:
            own = [team_of[player] for player in {row["player"] for row in children}]
            true = sum(1 for team in own if teams is None or team in teams)
            if isinstance(text, int):
                assert text == true
                assert text not in range(1, 5)
            else:
                assert text in (FEWER_WORDS, WITHHELD_WORDS)
                assert text != FEWER_WORDS or true in range(1, 5)
    league = scope(numbers, "league")["children"]
    assert league["by_rule"].keys() == by_rule.keys()
    assert (league["plays_short"], league["late"]) == (6, 22)
    assert league["plays_due"] == len({row["player"] for row in measures["plays_due"]}) == 183


def test_cases_and_entries(
    numbers: dict[str, Any], events: Rows, counting: Rows, found: Rows
) -> None:
    opened = {e["data"]["case"]: e for e in counting if e["kind"] == "case_open"}
    answered = {e["data"]["case"] for e in counting if e["kind"] in ("ruling", "case_close")}
    for kind, name, teams in scopes_of(events):
        counted = scope(numbers, kind, name)
        own = {c for c, e in opened.items() if teams is None or e.get("team") in teams}
        assert counted["cases"]["cases"] == len(own)
        assert sum(counted["cases"]["outcomes"].values()) == len(own)
        assert len(counted["cases"]["minutes_to_answer"]) == len(own & answered)
        entries = [e for e in counting if teams is None or e.get("team") in teams]
        assert counted["steps"]["entries"] == len(entries)
        # The league's choice in the sample season: more than 30 minutes.
        late = [e for e in entries if minutes(e["at"], e["entered"]) > 30 and e.get("game") != OFF]
        assert counted["steps"]["late"] == len(late)
    league = scope(numbers, "league")
    assert league["cases"]["overdue"] == sum(1 for row in found if row["rule"] == "case_overdue")
    assert league["cases"]["outcomes"] == {
        "upheld": 3,
        "denied": 3,
        "decided": 5,
        "closed without a ruling": 1,
    }
    assert max(league["cases"]["minutes_to_answer"]) == minutes(
        "2026-09-29T00:20:00.000Z", "2026-10-12T23:30:00.000Z"
    )


def minutes(start: str, end: str) -> float:
    return (datetime.fromisoformat(end) - datetime.fromisoformat(start)).total_seconds() / 60


def test_minutes_to_an_answer_are_whole_and_never_less_than_none(tmp_path: Path) -> None:
    """Times are as people gave them: an answer may bear an earlier one than its question."""
    lines = (
        opens("soon", at="2026-09-05T09:00:30"),
        adds("case_close", case="soon", at="2026-09-05T09:01:10"),
        opens("before"),
        adds("case_close", case="before", at="2026-09-05T09:10", entered="2026-09-05T08:30"),
        opens("later"),
        adds("case_close", case="later", at="2026-09-05T10:59:59.999"),
    )
    with season(tmp_path, *lines) as store:
        sheet = season_sheet(Heads(store))
    cases = scope(read_numbers(sheet), "league")["cases"]
    assert cases["minutes_to_answer"] == [0, 0, 119]
    assert sheet.context["paper"].times == "2 within an hour, 1 within a day"


def test_the_paper(signed: SqliteStore, sheet: Sheet, tmp_path: Path) -> None:
    texts = printed_sheet(sheet, tmp_path / "season.pdf")
    foot = [line for line in texts[0].splitlines() if line.startswith("Season summary, Invented")]
    assert [line.endswith("Rules version 1") for line in foot] == [True]
    front = squeeze(texts[0])
    for said in (
        "After week 7 of 7: 27 of 27 games weighed. 1 game was called off.",
        "Every player who may play is due at least 10 plays, late players too, unless excused.",
        "Children short of plays",
        "Weigh-ins were held for all 27 games.",
        "In all 27 weigh-ins the scale passed a check, in one only after a failed one.",
        "Our advice is common practice; your league’s rules come first.",
        "105 of 108 signatures to lists were given.",
        "11 of 12 questions put to review got a ruling.",
        "The scale did not pass its check: once.",
    ):
        assert squeeze(said) in front
    assert "Answers were given" not in front
    assert "rules have no finding" not in " ".join(sheet.context["paper"].well)
    order = ("Plays first", "What went well", "What to improve", "To improve")
    places = [front.index(squeeze(heading)) for heading in order]
    assert places == sorted(places)
    assert "One side did not sign a list: 3 times." in squeezed_back(texts[1])
    assert "Theteams" in squeeze(texts[1])
    assert [n for n, text in enumerate(texts, 1) if "Appendix:" in text] == [3]
    text = " ".join(" ".join(texts).split())
    assert "Lists with a signature: 54; with both sides’: 51. 35 are still as signed;" in text
    assert "Someone entered twice that a scale was out of use." in text
    assert "12 had late arrivals added; 7 changed in another way, such as by a ruling" in text
    assert "Decided otherwise: ruled on, but neither upheld nor denied. Time to the first" in text
    assert "Of them" not in text
    assert "Children’s names" not in text
    assert FEWER_WORDS in text
    assert WITHHELD_WORDS in text


def squeezed_back(text: str) -> str:
    """With one space for each line break."""
    return " ".join(text.split())


def test_the_table_of_teams_has_the_attached_numbers(sheet: Sheet, numbers: dict[str, Any]) -> None:
    rows = {row.name: row for row in sheet.context["paper"].teams}
    assert list(rows)[-1] == "The league"
    for one in numbers["scopes"]:
        name = "The league" if one["kind"] == "league" else one["name"]
        steps, children, row = one["steps"], one["children"], rows[name]
        given = sum(steps[how] for how in ("key", "ink", "sheet"))
        assert row.cells[0] == f"{steps['weighed']} of {steps['games']}"
        assert row.cells[2] == f"{given} of {given + steps['missing']}"
        assert row.cells[3:5] == (str(steps["late"]), str(steps["findings"]))
        shown = (children[key] for key in ("plays_due", "plays_short", "late"))
        assert row.cells[5:8] == tuple("1 to 4" if n == FEWER_WORDS else str(n) for n in shown)
        assert row.cells[8] == str(one["cases"]["cases"])


def test_each_part_of_the_procedure_has_its_advice(sheet: Sheet) -> None:
    """What is seen is a sentence, with a number of times or of children that may be shown."""
    areas = {area.heading: area for area in sheet.context["paper"].areas}
    assert next(iter(areas)) == "Plays"
    assert areas["Plays"].seen[0] == "6 children got too few plays."
    assert areas["Stripes"].seen == (
        "A child who weighed ok got a stripe.",
        "A child who may not carry the ball got no stripe.",
    )
    shown = [rule.rule for _, rules in sheet.context["paper"].findings for rule in rules]
    assert len(shown) == len(set(shown))
    assert sum(len(area.seen) + area.more for area in areas.values()) == len(shown)


def test_every_part_of_the_procedure_has_a_heading_and_advice() -> None:
    assert tuple(say.AREAS) == tuple(say.ADVICE) == AREAS
    assert {rule_header(rule).area for rule in rules()} == set(AREAS)


def test_a_number_of_children_not_shown_is_said_to_be_so() -> None:
    """A rule that concerns none is left out; one whose number is hidden may concern none, too."""
    hidden = lay_rule("plays_short", WITHHELD_WORDS, of_children(WITHHELD_WORDS))
    assert hidden.seen == "A child got fewer plays than the minimum: number not shown."
    many = lay_rule("plays_short", "12", of_children(12))
    assert many.seen == "A child got fewer plays than the minimum: 12 children."


def test_bars_compare_weeks_or_are_left_out(tmp_path: Path) -> None:
    weigh = says("weigh", at="2026-09-05T09:40", game="g1", team="ash", player="a2", value="ok")
    with season(tmp_path, weigh) as store:
        paper = season_sheet(Heads(store)).context["paper"]
    assert len([count for count in paper.league.weeks if count]) == 1
    assert paper.by_week is None


def test_no_child_is_named(signed: SqliteStore, sheet: Sheet, events: Rows, tmp_path: Path) -> None:
    """Neither in the text, nor in what is read out for a picture, nor in the files beside it."""
    path = tmp_path / "season.pdf"
    render_sheet(sheet, path)
    with pikepdf.open(path) as pdf:
        files = {name: spec.get_file().read_bytes() for name, spec in pdf.attachments.items()}
        metadata = pdf.Root.Metadata.read_bytes().decode()
    assert set(files) == {NUMBERS, CHECKPOINT, NAME}
    html = compose(sheet.document, sheet.context, stamp=sheet.stamp)
    drawn = [base64.b64decode(svg).decode() for svg in re.findall(r"base64,([^\"]*)", html)]
    everything = "\n".join(
        [*pages(path), metadata, html, *drawn, *(file.decode() for file in files.values())]
    )
    children = [e for e in events if e["kind"] in ("player", "enter_player")]
    ids = {e["player"] for e in children}
    names = {
        open_disclosure(row.text).value
        for row in signed.disclosures([f"{e['chain']}:{e['seq']}" for e in children])
        if row.field == "name"
    }
    assert len(ids) > 150
    assert len(names) > 150
    assert ids.isdisjoint(re.findall(r"[\w-]+", everything))
    flat = squeeze(everything)
    assert not [name for name in names if squeeze(name) in flat]


def test_the_same_bytes_twice(
    signed: SqliteStore, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("ledger.papers.press.heads.now_utc", lambda: "2026-11-28T12:00:00.000Z")
    for name in ("one.pdf", "two.pdf"):
        render_sheet(season_sheet(Heads(signed)), tmp_path / name)
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_before_the_first_weigh_in(signed: SqliteStore, tmp_path: Path) -> None:
    sheet = season_sheet(Heads(signed), as_of=NOTHING_YET)
    (*_, last) = texts = printed_sheet(sheet, tmp_path / "season.pdf")
    for said in (
        "Nobody has been weighed yet; 7 weeks of games are planned.",
        "It is too early to say.",
        "As of Tue, Dec 31, 2024, 6:00 PM CST",
    ):
        assert squeeze(said) in squeeze(texts[0])
    assert "How to check this paper" in last


def test_in_the_middle_of_the_season(signed: SqliteStore) -> None:
    sheet = season_sheet(Heads(signed), as_of="2026-09-13T12:00:00.000Z")
    assert sheet.context["paper"].state.startswith("After week 2 of 7: 8 of 28 games weighed.")


def test_a_season_of_24_teams(tmp_path: Path) -> None:
    """The sample season three times, each with ids of its own."""
    store = open_store(big_store(tmp_path, 15_000))
    try:
        sheet = season_sheet(Heads(store))
    finally:
        store.close()
    render_sheet(sheet, tmp_path / "season.pdf")
    check_pdf(tmp_path / "season.pdf")
    numbers = read_numbers(sheet)
    teams = [one for one in numbers["scopes"] if one["kind"] == "team"]
    assert len(teams) == 24
    assert scope(numbers, "league")["steps"]["weighed"] == 3 * 27
    text = squeeze(" ".join(pages(tmp_path / "season.pdf")))
    assert (
        text.count("Nettlehop Dormice".replace(" ", "")) == 3 * 3
    )  # table; appendix: heading, table


def test_teams_stand_in_the_order_of_their_names(sheet: Sheet) -> None:
    parts = sheet.context["paper"].parts
    assert [whole.id for whole, _ in parts] == ["glimmerfen", "quillowick"]
    for _, teams in parts:
        names = [team.name for team in teams]
        assert names == sorted(names)


def test_bars_have_their_numbers_beside_them_and_in_words() -> None:
    bars = (Bar(label="Week 1 & 2", value=1), Bar(label="Week 3", value=1900))
    figure = draw_bars(bars, title="Findings", caption="")
    assert figure.alt == "Findings. Week 1 & 2: 1; Week 3: 1,900."
    assert ">Week 1 &amp; 2</text>" in figure.svg
    assert ">1,900</text>" in figure.svg
    one, most = (int(w) for w in re.findall(r'width="(\d+)" height="11"', figure.svg))
    assert 0 < one < most < WIDTH  # one of many is seen
    assert draw_bars((), title="None", caption="").alt == "None. ."


@pytest.mark.parametrize(
    ("count", "words"),
    [(0, "0 minutes"), (1, "1 minute"), (59, "59 minutes"), (60, "1 hour"), (2880, "2 days")],
)
def test_durations(count: int, words: str) -> None:
    assert duration(count) == words


def test_no_page_begins_with_the_last_row_of_a_table(sheet: Sheet, tmp_path: Path) -> None:
    """A page that goes on with a table has two of its rows or more."""
    begun = 0
    for text in printed_sheet(sheet, tmp_path / "summary.pdf")[1:]:
        before, head, rows = text.replace("\r", "").partition(" How often\n")
        before = before.rpartition("What was seen")[0]
        if head and len(before) < len("Season summary, …") + 60:
            begun += 1
            rows, _, _ = rows.partition("Signatures:")
            assert len(re.findall(r"(once|twice|times|children)$", rows, re.MULTILINE)) > 1
    assert begun


def test_what_goes_on_at_the_top_of_a_page_says_whose_it_is(sheet: Sheet, tmp_path: Path) -> None:
    """An association's table went on without its name; a heading stood without its table."""
    texts = [text.replace("\r", "") for text in printed_sheet(sheet, tmp_path / "summary.pdf")]
    tops = [text.partition("\n")[0].strip() for text in texts]
    assert "What was seen: Association glimmerfen How often" in tops
    for heading in ("glimmerfen", "quillowick"):
        (page,) = (text for text in texts if f"Association {heading}: all its teams" in text)
        assert f"What was seen: Association {heading}" in page
