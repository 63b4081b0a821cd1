"""A packet's first page in words: its time limits, other cases, what an answer means."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ledger.errors import count_of
from ledger.record.authority import role_name
from ledger.review.cases import Case, Entry
from ledger.review.rulings import answered_at, is_answered_late, rulings_of
from ledger.say import codes, words
from ledger.say.clock import local_time, minutes_between

_MEANINGS = {
    "roster": (
        "The number, name or roster is wrong, as the question says.",
        "The number, name and roster are right as they are.",
    ),
    "weigh": (
        "Something at this weigh-in was missed or wrong, as the question says.",
        "This weigh-in was in order.",
    ),
    "plays": (
        "The player did not get the plays that were due.",
        "The player got them, or none were due.",
    ),
    "safety": ("What people saw was not safe.", "What people saw was safe."),
    "protest": ("The protest is right.", "The protest is not right."),
    "other": ("Something was wrong, as the question says.", "Nothing was wrong."),
}
_NOT_RIGHT_OR_LATE = "The protest is not right, or too late to hear."
_OTHERWISE = "Neither fits: write down what you decide."
_MAY_CARRY = (
    "The player may carry the ball.",
    "The player does not carry the ball.",
)
_NO_MARK = "Finding carrier_undecided ("
_SHARES = {
    "player_here": "the same player in this game",
    "player": "the same player",
    "roster": "the numbers of this team in this game",
    "list": "this team in this game",
    "game": "this game",
}
EACH = "What you tick for a player holds for that player; the rest stays as it is."
TICK = "Upheld or denied alone changes nobody’s eligibility: tick who plays or carries, too."
NO_PLAYER = "The question names no player in a game, so no answer changes who plays or carries."
NAME_ONE = (
    "The case was opened without a player. To change who plays or carries, name the player on the"
    " decision form."
)
RESULT = "Your league’s rules decide about the game’s result."
FROM_FINDING = "From the ledger’s findings: "
NO_LIMIT = "No limit: this is a question, not a protest."
HEAR_LATE = "The ledger takes late protests. You decide whether to hear it, by your league’s rule."


def asks_to_carry(said: str | None) -> bool:
    """Whether the note is from the finding that nothing decides who carries."""
    return bool(plain_note(said)) and str(said).startswith(_NO_MARK)


def meanings(case: Case) -> tuple[tuple[str, str], ...]:
    """What upheld, denied and decided otherwise mean for this question."""
    is_of_ball = asks_to_carry(case.opening.said)
    upheld, denied = _MAY_CARRY if is_of_ball else _MEANINGS[case.reason]
    if case.is_protest_late and not is_of_ball:
        denied = _NOT_RIGHT_OR_LATE
    return ("Upheld", upheld), ("Denied", denied), ("Decided otherwise", _OTHERWISE)


def plain_note(said: str | None) -> str:
    """What a note from a finding says, without rule and event ids; "" for any other note.

    `review/routes.py` writes such notes: “Finding RULE (who): words [events]”.
    """
    if not said or not said.startswith("Finding ") or not said.rstrip().endswith(("]", "more.")):
        return ""
    details = [part.partition(": ")[2] for part in said.split("Finding ")[1:]]
    plain = [detail.rpartition(" [")[0] for detail in details]
    return " ".join(dict.fromkeys(plain)) if all(plain) else ""


def in_time(case: Case, zone: str) -> tuple[str, bool]:
    """Whether a protest came in time, and whether that needs a second look."""
    if case.protest_due_at is None:
        return "Not known: the end of the game is not entered.", True
    entered = case.opening.entered_at
    until, when = local_time(case.protest_due_at, zone), local_time(entered, zone)
    limits = f"Protests about this game were due {until}. This one came {when}"
    if not case.is_protest_late:
        return f"Yes. {limits}.", False
    return f"No. {limits}, {_after(case.protest_due_at, entered)}.", True


def _after(limit: str, moment: str) -> str:
    """How long after the limit: "5 hours late", "69 days late", "12 minutes late"."""
    minutes = minutes_between(limit, moment)
    for noun, length in (("day", 24 * 60), ("hour", 60)):
        if minutes >= length:
            return f"{count_of(minutes // length, noun)} late"
    return f"{count_of(max(1, minutes), 'minute')} late"


def to_decide(case: Case, zone: str) -> tuple[str, bool]:
    """Until when it is to be decided, what became of it, and whether that is over."""
    until = local_time(str(case.due_at), zone)
    moment = answered_at(case)
    answered = local_time(moment, zone) if moment else ""
    verb = "Answered" if rulings_of(case) else "Closed"
    over = " The time is over." if case.is_time_over else ""
    if answered and case.state == "open":
        return f"{until}. A ruling came {answered}, but not from a reviewer.{over}", True
    if answered and is_answered_late(case):
        return f"{until}. {verb} {answered}: late.", True
    done = f" {verb} {answered}, in time." if answered else over
    return f"{until}.{done}", bool(over)


def answered_before(
    case: Case, told: list[str], *, is_same: bool, is_before: bool, is_part: bool = False
) -> str:
    """Whether the same question was ruled on before; `told` are sentences about other cases."""
    if not told and not (case.game or case.team or case.player):
        return "Not known. The question names no player, team or game."
    if not told:
        return "No. No other case is about this player, list or game."
    begin = "Not this question."
    if is_same or is_part:
        begin = "No, but asked again." if is_same else "Perhaps."
    return " ".join(["Yes." if is_before else begin, *told])


NOT_NAMED = "Its rulings do not name this player."


def other_case(case: Case, shares: str, ruling: Entry | None, zone: str, by: str, said: str) -> str:
    """Another case in a sentence or two; `by` ruled, `said` is the ruling's remark."""
    where = f" in game {case.game}" if shares == "player" and case.game else ""
    asked = f"Case {case.case_id} asked about {_SHARES[shares]}{where}"
    if ruling:
        when = local_time(ruling.happened_at, zone)
        return f"{asked}: {codes.RULINGS[ruling.value]}, by {by}, {when}. {said}".rstrip()
    if case.state in ("closed", "withdrawn"):
        return (
            f"{asked}: {'withdrawn' if case.state == 'withdrawn' else 'closed without a ruling'}."
        )
    return f"{asked}: open, with the {role_name(str(case.with_role))}."


def no_authority(by: str, what: str) -> str:
    """A ruling that nobody entitled to it gave."""
    no_effect = "Not a reviewer of this kind of question, so it changes nothing."
    return f"{by}, entered a ruling: {what}. {no_effect}"


def idle(answers: Sequence[str]) -> str:
    """Answers that are so already."""
    return (
        f"{words.join([f'“{one}”' for one in answers])} would change nothing: that holds already."
    )


def rights(row: Mapping[str, Any]) -> str:
    """What a row of eligibility lets a player do."""
    play, carry = row["may_play"], row["may_carry"]
    return words.upper_first(codes.both(play, carry, codes.plays(play), codes.carries(carry)))


def as_now(row: Mapping[str, Any] | None, case_id: str, *, brief: bool) -> str:
    """The same, and the case whose ruling decided, or unless `brief` what else did; listings too.

    “Does not play; listed as over” would tell of the wrong reason.
    """
    if row is None:
        return "No entry"
    said = rights(row) if brief else words.upper_first(codes.row(row, with_basis=not case_id))
    return f"{said}; by the ruling in case {case_id}" if case_id else said


def before(row: Mapping[str, Any], case_id: str, *, brief: bool) -> str:
    """What held before a ruling; the arguments as in `as_now`."""
    return f"Before the ruling: {words.lower_first(as_now(row, case_id, brief=brief))}."
