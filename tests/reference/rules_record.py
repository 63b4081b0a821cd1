"""Findings: reviews and the record itself. These look at the season. A rule a function.

Findings of games that are off are left out by the caller.
"""

from __future__ import annotations

from datetime import timedelta

from tests.reference.eligibility import case_open, half_end, has_authority
from tests.reference.scene import Findings, each, found, span
from tests.reference.state import Season
from tests.reference.statements import Statement

MAY_FOLLOW_THE_CLOSE = ("ruling", "withdraw")


def appointed_without_authority(season: Season) -> Findings:
    """Game (each; null without a game): an appoint without authority."""
    for appoint in season.roles.unauthorized:
        yield each(found(appoint.game), appoint)


def ruling_without_authority(season: Season) -> Findings:
    """Game (each; null without a game): a ruling by somebody who is no reviewer for the case's
    reason.
    """
    for ruling in season.of_kind("ruling"):
        if not has_authority(season, ruling):
            yield each(found(ruling.game), ruling)


def cases(season: Season) -> list[Statement]:
    """The case_open of each case."""
    return [s for s in season.of_kind("case_open") if s == case_open(season, s.data["case"])]


def protest_late(season: Season) -> Findings:
    """Game case: a case_open of reason protest with a game entered more than protest_within_hours
    after the `at` of its half 2.
    """
    within = timedelta(hours=season.league["reviews"]["protest_within_hours"])
    for opened in cases(season):
        if opened.reason == "protest" and opened.game in season.games:
            end = half_end(season, season.games[opened.game], 2)
            if end is not None and span(end.at, opened.entered) > within:
                yield found(opened.game, case=opened.data["case"])


def case_overdue(season: Season) -> Findings:
    """Game case (game may be null): neither ruling nor case_close was entered within
    decide_within_days of the entered of case_open, and some statement was entered later than that.
    """
    within = timedelta(days=season.league["reviews"]["decide_within_days"])
    for opened in cases(season):

        def is_later(said: Statement, opened: Statement = opened) -> bool:
            return span(opened.entered, said.entered) > within

        answers = [
            said
            for said in season.of_kind("ruling", "case_close")
            if said.data["case"] == opened.data["case"]
        ]
        was_decided = any(not is_later(said) for said in answers)
        if not was_decided and any(is_later(said) for said in season.statements):
            yield found(opened.game, case=opened.data["case"])


def withdrawn_by_other(season: Season) -> Findings:
    """Game (each; null without a game): a withdrawal by somebody else than who stated its target;
    the game is the target's.
    """
    for withdrawal in season.of_kind("withdraw"):
        target = season.by_id.get(withdrawal.data["target"])
        if target is not None and withdrawal.by != target.by:
            yield each(found(target.game), withdrawal)


def entered_late(season: Season) -> Findings:
    """Game (each; null without a game): `entered` is more than entered_late_after_min after `at`
    (`trained` aside).
    """
    after = timedelta(minutes=season.weigh_in["entered_late_after_min"])
    for said in season.statements:
        if said.kind != "trained" and span(said.at, said.entered) > after:
            yield each(found(said.game), said)


def stated_after_close(season: Season) -> Findings:
    """Game (each; null without a game): entered after the first entered season_close, other than
    case_* statements, rulings and withdrawals.
    """
    closes = season.of_kind("season_close")
    if not closes:
        return
    first_entered = min(close.entered for close in closes)
    for said in season.statements:
        may_follow = said.kind.startswith("case_") or said.kind in MAY_FOLLOW_THE_CLOSE
        if said.entered > first_entered and not may_follow:
            yield each(found(said.game), said)


RULES = (
    appointed_without_authority,
    ruling_without_authority,
    protest_late,
    case_overdue,
    withdrawn_by_other,
    entered_late,
    stated_after_close,
)
