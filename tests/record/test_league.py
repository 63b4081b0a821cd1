"""league.toml: every default, every value that is refused, unknown keys, TOML errors by line."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.record.league import read_league
from tests.tiny import LEAGUE


def rules(more: str = "") -> dict[str, Any]:
    """The rules of the three needed keys and these lines."""
    league, faults = read_league(LEAGUE + more)
    assert not faults
    assert league is not None
    return league.data


def fault(text: str) -> str:
    """The one fault of a league.toml."""
    league, faults = read_league(text)
    assert league is None
    assert len(faults) == 1, faults
    return str(faults[0])


def test_the_defaults_are_these() -> None:
    assert rules() == {
        "name": "Invented League",
        "season": "2026",
        "time_zone": "America/Chicago",
        "weigh_in": {
            "opens_before_kickoff_min": 30,
            "first_to_weigh": "visitors",
            "attempts": 1,
            "late_players": "second_half",
            "check_weight_clb": 1000,
            "scale_division_clb": 50,
            "max_weighmasters_per_team": 2,
            "entered_late_after_min": 30,
            "declared_over_may_skip_scale": False,
            "training_valid_days": 0,
            "limit_allowance": [],
        },
        "plays": {"minimum": 10},
        "reviews": {
            "roster": ["association_president", "division_president"],
            "other": ["site_official", "head_official", "division_president"],
            "protest_within_hours": 48,
            "decide_within_days": 7,
        },
        "card": {"gear": [], "shoes": [], "stripe": [], "distance": []},
        "privacy": {"keep_personal_until": ""},
    }


def test_defaults_written_out_say_the_same() -> None:
    written = """
        [weigh_in]
        opens_before_kickoff_min = 30
        first_to_weigh = "visitors"
        attempts = 1
        late_players = "second_half"
        check_weight_lb = 10.0
        scale_division_lb = 0.5
        max_weighmasters_per_team = 2
        entered_late_after_min = 30
        declared_over_may_skip_scale = false
        training_valid_days = 0
        limit_allowance = []
        [plays]
        minimum = 10
        [reviews]
        roster = ["association_president", "division_president"]
        other  = ["site_official", "head_official", "division_president"]
        protest_within_hours = 48
        decide_within_days = 7
        [card]
        gear = []
        shoes = []
        stripe = []
        distance = []
        [privacy]
        keep_personal_until = ""
    """
    assert rules(written) == rules() == rules("[plays]\n[weigh_in]\n")


@pytest.mark.parametrize(
    ("table", "line", "key", "value"),
    [
        ("weigh_in", "opens_before_kickoff_min = 0", "opens_before_kickoff_min", 0),
        ("weigh_in", 'first_to_weigh = "home"', "first_to_weigh", "home"),
        ("weigh_in", 'first_to_weigh = "either"', "first_to_weigh", "either"),
        ("weigh_in", "attempts = 2", "attempts", 2),
        ("weigh_in", 'late_players = "whole_game"', "late_players", "whole_game"),
        ("weigh_in", 'late_players = "none"', "late_players", "none"),
        ("weigh_in", "check_weight_lb = 25", "check_weight_clb", 2500),
        ("weigh_in", "scale_division_lb = 0.05", "scale_division_clb", 5),
        ("weigh_in", "declared_over_may_skip_scale = true", "declared_over_may_skip_scale", True),
        ("weigh_in", "training_valid_days = 36500", "training_valid_days", 36500),
        ("card", 'gear = ["Helmet, pads, mouth guard"]', "gear", ["Helmet, pads, mouth guard"]),
        ("card", f'shoes = ["{"x" * 120}", "Cleats"]', "shoes", ["x" * 120, "Cleats"]),
        ("card", "stripe = []", "stripe", []),
        (
            "card",
            'distance = ["Coaches stay 10 yards away."]',
            "distance",
            ["Coaches stay 10 yards away."],
        ),
        ("plays", "minimum = 0", "minimum", 0),
        ("reviews", 'other = ["registrar"]', "other", ["registrar"]),
        ("privacy", 'keep_personal_until = "2027-06-30"', "keep_personal_until", "2027-06-30"),
        ("privacy", "keep_personal_until = 2027-06-30", "keep_personal_until", "2027-06-30"),
    ],
)
def test_a_leagues_choice(table: str, line: str, key: str, value: object) -> None:
    assert rules(f"[{table}]\n{line}\n")[table][key] == value


def test_allowances_are_kept_by_date_in_hundredths() -> None:
    steps = '[{from = "2026-11-01", lb = 2.5}, {from = 2026-10-01, lb = 1}]'
    assert rules(f"[weigh_in]\nlimit_allowance = {steps}\n")["weigh_in"]["limit_allowance"] == [
        {"from": "2026-10-01", "clb": 100},
        {"from": "2026-11-01", "clb": 250},
    ]


def test_a_minimum_by_squad_size_comes_instead_of_one_minimum() -> None:
    steps = "[{up_to = 20, minimum = 12}, {minimum = 10}]"
    assert rules(f"[plays]\nby_squad_size = {steps}\n")["plays"] == {
        "by_squad_size": [{"up_to": 20, "minimum": 12}, {"minimum": 10}]
    }


@pytest.mark.parametrize("key", ["name", "season", "time_zone"])
def test_three_keys_are_needed(key: str) -> None:
    text = "\n".join(line for line in LEAGUE.splitlines() if not line.startswith(key))
    assert fault(text) == f"league.toml, line 1, league.{key}: found nothing; expected a value"


def test_the_league_is_needed() -> None:
    assert fault("") == "league.toml, league: found nothing; expected a value"


POUNDS = "pounds: a number with at most two decimals, such as 10.0"
STEPS = "steps with up_to, then one last step without it"
CARD_LINE = "a line of 1 to 120 characters, without a line break"
ALLOWANCE = "[weigh_in]\nlimit_allowance = "
SQUADS = "[plays]\nby_squad_size = "


@pytest.mark.parametrize(
    ("more", "where", "found", "right"),
    [
        ('[weigh_in]\nattempts = "1"', "weigh_in.attempts", "'1'", "a whole number"),
        ("[weigh_in]\nattempts = true", "weigh_in.attempts", "true", "a whole number"),
        ("[weigh_in]\nattempts = 1.0", "weigh_in.attempts", "1.0", "a whole number"),
        ("[weigh_in]\nattempts = 3", "weigh_in.attempts", "3", "a number of 2 or less"),
        ("[weigh_in]\nattempts = 0", "weigh_in.attempts", "0", "a number of 1 or more"),
        (
            '[weigh_in]\nfirst_to_weigh = "home team"',
            "weigh_in.first_to_weigh",
            "'home team'",
            "one of visitors, home or either",
        ),
        (
            '[weigh_in]\nlate_players = "second half"',
            "weigh_in.late_players",
            "'second half'",
            "one of second_half, whole_game or none",
        ),
        (
            "[weigh_in]\nopens_before_kickoff_min = -1",
            "weigh_in.opens_before_kickoff_min",
            "-1",
            "a number of 0 or more",
        ),
        (
            "[weigh_in]\ndeclared_over_may_skip_scale = 1",
            "weigh_in.declared_over_may_skip_scale",
            "1",
            "true or false",
        ),
        ('[weigh_in]\ncheck_weight_lb = "10"', "weigh_in.check_weight_lb", "'10'", POUNDS),
        ("[weigh_in]\ncheck_weight_lb = true", "weigh_in.check_weight_lb", "true", POUNDS),
        ("[weigh_in]\ncheck_weight_lb = 0", "weigh_in.check_weight_lb", "0", "a number over 0"),
        ("[weigh_in]\nscale_division_lb = -0.5", "weigh_in.scale_division_lb", "-0.5", "pounds of"),
        ("[weigh_in]\ncheck_weight_lb = nan", "weigh_in.check_weight_lb", "NaN", "pounds of 0"),
        ("[weigh_in]\ncheck_weight_lb = 1e999", "weigh_in.check_weight_lb", "1E+999", "pounds of"),
        (
            "[weigh_in]\ncheck_weight_lb = 10.000000000000000000000000000000000001",
            "weigh_in.check_weight_lb",
            "10.000000000000000000000000000000000001",
            "pounds with at most two decimals, such as 10.25",
        ),
        (
            "[weigh_in]\ntraining_valid_days = 36501",
            "weigh_in.training_valid_days",
            "36501",
            "a number of 36500 or less",
        ),
        ('[card]\ngear = "Helmet"', "card.gear", "'Helmet'", "a list"),
        ("[card]\ngear = [1]", "card.gear.0", "1", "text"),
        ('[card]\nshoes = ["Cleats", ""]', "card.shoes.1", "''", CARD_LINE),
        (f'[card]\nshoes = ["{"x" * 121}"]', "card.shoes.0", "'xx", CARD_LINE),
        ('[card]\nstripe = ["front\\nback"]', "card.stripe.0", r"'front\nback'", CARD_LINE),
        ('[card]\nstripe = ["front\\u2028back"]', "card.stripe.0", "'front", CARD_LINE),
        ("[card]\nscale = []", "card.scale", "an unknown setting", "one of the settings of card"),
        (ALLOWANCE + "3", "weigh_in.limit_allowance", "3", "a list"),
        (ALLOWANCE + "[3]", "weigh_in.limit_allowance.0", "3", "a table"),
        (ALLOWANCE + "[{lb = 2}]", "weigh_in.limit_allowance.0.from", "nothing", "a value"),
        (
            ALLOWANCE + '[{from = "October", lb = 2}]',
            "weigh_in.limit_allowance.0.from",
            "'October'",
            "a date such as 2026-10-01",
        ),
        (
            ALLOWANCE + '[{from = "2026-09-31", lb = 2}]',
            "weigh_in.limit_allowance.0.from",
            "'2026-09-31'",
            "a calendar date such as 2026-10-01",
        ),
        (
            ALLOWANCE + '[{from = 2026-10-01, lb = 1}, {from = "2026-10-01", lb = 2}]',
            "weigh_in.limit_allowance",
            "[{'from'",
            "one allowance per date",
        ),
        ("[plays]\nminimum = 1.5", "plays.minimum", "1.5", "a whole number"),
        (
            "[plays]\nminimum = 10\nby_squad_size = [{minimum = 10}]",
            "plays.minimum",
            "10",
            "minimum or by_squad_size, not both",
        ),
        (SQUADS + "[]", "plays.by_squad_size", "[]", STEPS),
        (SQUADS + "[{up_to = 20, minimum = 12}]", "plays.by_squad_size", "[{'up_to'", STEPS),
        (SQUADS + "[{minimum = 12}, {minimum = 10}]", "plays.by_squad_size", "[{'mini", STEPS),
        (
            SQUADS + "[{up_to = 20, minimum = 1}, {up_to = 20, minimum = 2}, {minimum = 3}]",
            "plays.by_squad_size",
            "[{'up_to'",
            "steps with rising up_to values",
        ),
        ('[reviews]\nroster = ["president"]', "reviews.roster.0", "'president'", "one of weigh"),
        ("[reviews]\nother = []", "reviews.other", "[]", "a list with at least one item"),
        (
            "[privacy]\nkeep_personal_until = 2027-06-30T00:00:00",
            "privacy.keep_personal_until",
            "2027-06-30 00:00:00",
            "a date such as 2026-10-01",
        ),
        ("[weigh_in]\nattempt = 1", "weigh_in.attempt", "an unknown setting", "one of the"),
        ("[weights]\nlimit = 1", "weights", "an unknown section", "one of the sections"),
    ],
)
def test_a_wrong_value_is_refused(more: str, where: str, found: str, right: str) -> None:
    told = fault(f"{LEAGUE}{more}\n")
    place, _, rest = told.partition(": found ")
    line = place.split(", ")[1].removeprefix("line ")
    assert place == f"league.toml, line {line}, {where}"
    assert f"{LEAGUE}{more}".splitlines()[int(line) - 1] in more
    assert rest.startswith(found)
    assert f"; expected {right}" in rest


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ('name = ""', "text that is not empty"),
        ('name = "\\u0000"', "text that is not empty and has no NUL character"),
        ("season = 2026", "text"),
        ('time_zone = "Central"', "a time zone such as America/Chicago"),
        ('time_zone = "../../etc"', "a time zone such as America/Chicago"),
    ],
)
def test_a_wrong_value_of_the_needed_keys(line: str, right: str) -> None:
    key = line.split()[0]
    text = "\n".join(line if old.startswith(key) else old for old in LEAGUE.splitlines())
    told = fault(text)
    assert told.startswith(f"league.toml, line {text.splitlines().index(line) + 1}, league.{key}")
    assert right in told


def test_every_wrong_value_is_told_at_once() -> None:
    _, faults = read_league(LEAGUE + "[weigh_in]\nattempts = 3\n[plays]\nminimum = -1\nmore = 1\n")
    assert [(f.line, f.column) for f in faults] == [
        (6, "weigh_in.attempts"),
        (8, "plays.minimum"),
        (9, "plays.more"),
    ]


@pytest.mark.parametrize(
    ("text", "line"),
    [(LEAGUE + "x =", ", line 5"), (LEAGUE + "name = 1\n", ", line 5"), ("a = 1\n\0", ", line 2")],
)
def test_a_toml_error_has_its_line(text: str, line: str) -> None:
    assert fault(text).startswith(f"league.toml{line}: found invalid TOML (")


@pytest.mark.parametrize(
    "value", ["9" * 5000, "1e" + "9" * 30, "[" * 5000 + "]" * 5000], ids=["long", "huge", "deep"]
)
def test_what_no_computer_should_read_is_refused(value: str) -> None:
    assert "too long, or brackets nested too deeply" in fault(f"x = {value}\n")


TOML = st.text(st.sampled_from("[]{}=\"'.,#-+:eTZ 0123456789abn_\n\\u"), max_size=60)


@given(st.one_of(st.text(), TOML, TOML.map(lambda text: LEAGUE + "[weigh_in]\n" + text)))
def test_any_text_is_a_league_or_faults(text: str) -> None:
    league, faults = read_league(text)
    assert (league is None) == bool(faults)


SECTIONS = "league, weigh_in, plays, reviews, card, privacy"


@pytest.mark.parametrize(
    ("line", "column", "known"),
    [
        ("[weighin]", "weighin", f"sections: {SECTIONS}. Did you mean weigh_in?"),
        (
            "[plays]\nminumum = 3",
            "plays.minumum",
            "settings of plays: minimum, by_squad_size. Did you mean minimum?",
        ),
        (
            "[plays]\nby_squad_size = [{minimum = 3, upto = 1}]",
            "plays.by_squad_size.0.upto",
            "settings of plays.by_squad_size.0: minimum, up_to. Did you mean up_to?",
        ),
        (
            "[weigh_in]\nlimit_allowance = [{from = 2026-10-01, lb = 2, kg = 1}]",
            "weigh_in.limit_allowance.0.kg",
            "settings of weigh_in.limit_allowance.0: from, lb",
        ),
    ],
)
def test_an_unknown_key_is_answered_with_the_keys_there_are(
    line: str, column: str, known: str
) -> None:
    number = (LEAGUE + line).count("\n") + 1
    what = known.partition("s ")[0].partition("s:")[0]
    expected = f"found an unknown {what}; expected one of the {known}"
    assert fault(LEAGUE + line) == f"league.toml, line {number}, {column}: {expected}"
