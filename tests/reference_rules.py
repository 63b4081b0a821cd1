"""The rules of sql/README.md in plain Python, from their text alone: what SQL is held against.

Events are dicts in the form that is hashed (pounds as integer hundredths, times as fixed-width
UTC text), of every chain, in any order: ledger order is made here. as_of compares `entered`;
known_at compares `recorded`, of set-up too.
Rows have the keys given there. Findings leave `detail` out; `events` is given only by rules with
one finding for each statement, since the text fixes it only there; so others are ordered without
it.

Choices, where the text can be read in more than one way:

 1. A ruling has authority only if its case_open counts (not withdrawn, entered by the as-of) and
    `by` holds a reviewers' role for that reason, for whichever team or for none, by officials.csv
    or an appoint with authority. Every other counting ruling raises ruling_without_authority,
    whether or not it names may_play or may_carry.
 2. `number` off the roster: of the first (at, ledger order) counting statement, of any kind, about
    that player for that team in that game that gives one, else null. On the roster with no number
    ever given: null.
 3. A game that is off has no findings of any rule, those of cases and of the record included.
 4. Findings asked for one game leave out those whose game is null.
 5. A withdrawal of something that is not a statement (set-up) does nothing.
 6. game_off is not undone by a later game_change, only by being withdrawn.
 7. A number on roster_drop changes nothing ("by players.csv, roster_add or number_change"); on
    enter_player with a team it is an add. A number_change counts also while off the roster.
 8. Basis scale or late_scale goes by the kind of W, not of P.
 9. A late_weigh after half 1 gives may_play none under every late_players, whole_game too.
10. `events` of eligibility shows the half-1 statement wherever half 1 ended before P, also where P
    is a weigh; with no P it does not. A deciding ruling is shown once where it decides both.
11. A ruling about somebody without a row makes no row; basis ruling only where one decides.
12. "Own weighmaster" and "coach" need the role for that very team; board members and presidents
    (too_many_at_scale), reviewers and those who appoint may hold theirs for any team or none. Each
    of these may be held for the game alone.
13. "A weigh" in a rule is the kind weigh of any value (weighed_out_of_turn, weighed_too_early,
    weighed_after_close); "weighed" and "scale weigh" are as defined there.
14. weighed_out_of_turn sets aside listed players' weighs on both sides.
15. not_on_roster: "listed" is any list statement that counts, struck off or not.
16. noncarrier_not_striped: "the same" is "rules 1 to 3 give may_play other than none and may_carry
    no", whether or not a list over stands.
17. book_not_initialed: the scale weigh, like the initial, may be for whichever team; each team of
    the game on whose roster the player is gets a row. Games that are off are passed over.
18. Book marks: "in a game that is off stay in the book", so such games count for the mark before
    a game, for the first initial, and for book_initialed_again's kickoff. Kickoffs are as moved.
19. list_changed_after_sign compares `entered` alone, and strictly, with the least `entered` among
    the countersigns of that team's list by own weighmasters of either side.
20. list_not_countersigned and no_weighmaster raise for both teams once anybody was weighed.
21. The game of appointed_without_authority, ruling_without_authority, entered_late and
    stated_after_close is the statement's own; of withdrawn_by_other the target's own (null where
    the target is itself a withdrawal).
22. withdrawn_by_other and stated_behind_signature say nothing about a withdrawal while its target
    (and the target's, down to the statement) is not entered by the as-of.
23. case_overdue: any counting ruling, with authority or not, and any case_close decides if entered
    up to and at the limit, also before case_open; days are 24 hours; "some statement" is any
    counting one. protest_late: no finding while half 2 is not stated.
24. stated_after_close: a second season_close entered later is itself a finding.
25. scale_used_after_out: a station at the same `at` as the scale_out is not after it.
26. One case id is one case in all chains; its case_open is the first (at, ledger order). A ruling
    goes by the case_open of its own chain, whatever other chains opened under that id.
27. exposure: rulings heard have `at` at or before the first half-2 statement; the team's count is
    over its rows of the game, players off the roster included.
28. A game or team that the ledger never held raises KeyError; one it did not hold by the known-at
    has no rows and no findings, and statements about it count for nothing but "some statement".
29. known_at compares an event's own `recorded`, also where that chain's clock had gone back; ledger
    order is that of the whole ledger, so it is the same whatever the known-at.
30. Without the league's row nothing has rows; a game needs its division and both its teams.
31. All lines of officials.csv (held by the known-at) come before the first appoint, also one that
    was loaded later than it. An appoint by somebody who holds a role for one game only has
    authority only if it is itself for that game.
32. Authority to appoint asks nothing about the team of either role, and goes by ledger order
    alone: neither `at` nor `entered` of the appoints matters, beyond the as-of.
33. A countersign is by key where `how` is key or device, with a scan where it names a `scan`, and
    else on the sheet. Whoever signed, weighmaster or not, it can be stated behind.
34. stated_behind_signature looks at statements that count, so a withdrawn weigh is not found, its
    withdrawal is. A countersignature that is not entered by the as-of is not looked at.
35. list_changed_after_sign and weighmasters' signatures go by `entered` as before: what a signature
    covers matters to stated_behind_signature alone.
36. training_valid_days is 24 hours a day to the millisecond, both ends included. Any holder or none
    of a role may say that somebody was trained, but they themselves.
37. on_two_rosters: the other team may be of any division, whether or not it plays that day.
38. A correction of a table holds the whole row. A known-at that falls between a correction and its
    row, where clocks differ, knows the row as corrected.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tests.reference.eligibility import book_of_team, eligibility_of_game
from tests.reference.exposure import exposure_of_game
from tests.reference.findings import RULE_NAMES, findings_of_season
from tests.reference.state import Game, Season

__all__ = ["RULE_NAMES", "book", "eligibility", "exposure", "findings"]

Events = Sequence[Mapping[str, Any]]
Rows = list[dict[str, Any]]


def _games(season: Season, events: Events, game: str | None) -> list[Game]:
    asked = season.games_in_order() if game is None else _asked(season, events, game)
    return [one for one in asked if not one.is_off]


def _asked(season: Season, events: Events, game: str) -> list[Game]:
    """The game, or nothing where the ledger came to hold it only later; KeyError: it never did."""
    if not any(event["kind"] == "game" and event["game"] == game for event in events):
        raise KeyError(game)
    return [season.games[game]] if game in season.games else []


def eligibility(
    events: Events,
    game: str | None = None,
    as_of: str | None = None,
    known_at: str | None = None,
) -> Rows:
    """Eligibility, for one game or for the season (then also by kickoff and game)."""
    season = Season(events, as_of, known_at)
    games = _games(season, events, game)
    return [row for one in games for row in eligibility_of_game(season, one)]


def book(events: Events, team: str, as_of: str | None = None, known_at: str | None = None) -> Rows:
    """The book of one team."""
    if not any(event["kind"] == "team" and event["team"] == team for event in events):
        raise KeyError(team)
    return book_of_team(Season(events, as_of, known_at), team)


def exposure(
    events: Events,
    game: str | None = None,
    as_of: str | None = None,
    known_at: str | None = None,
) -> Rows:
    """Exposure, for one game or for the season."""
    season = Season(events, as_of, known_at)
    return [row for one in _games(season, events, game) for row in exposure_of_game(season, one)]


def findings(
    events: Events,
    game: str | None = None,
    as_of: str | None = None,
    known_at: str | None = None,
) -> Rows:
    """Findings, for one game or for the season (then those without a game too)."""
    season = Season(events, as_of, known_at)
    if game is None:
        return findings_of_season(season, None)
    return [row for one in _asked(season, events, game) for row in findings_of_season(season, one)]
