"""The words of the season summary: what was done, what is missing, and what to look at.

Calm and in counts over how many; no team is ranked or called anything. Rules speak in the words of
their own files.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from ledger.derive.rule_header import rule_header
from ledger.papers.charts import share_bar
from ledger.papers.rule_words import ROLES, League, count_of, join
from ledger.papers.season_context import CountLine, StepLine
from ledger.papers.season_figures import RuleCount, UnitCount
from ledger.papers.suppress import Kept, Shown, format_count

STEPS: tuple[tuple[str, str, str, str, Callable[[UnitCount], tuple[int, int]]], ...] = (
    (
        "games",
        "Games weighed",
        "Games weighed",
        "not weighed, or not yet",
        lambda u: (u.games["games_weighed"], u.games["games"]),
    ),
    (
        "proved",
        "Scale proved before first weigh",
        "Scale proved first",
        "not proved first",
        lambda u: (u.games["games_proved"], u.games["games_on_scale"]),
    ),
    (
        "attended",
        "Own weighmaster at the scale",
        "Own weighmaster there",
        "not recorded",
        lambda u: (u.games["sides_attended"], u.games["sides"]),
    ),
    (
        "signed",
        "Signatures to the lists",
        "Signatures given",
        "missing",
        lambda u: (u.signed, u.signatures["due"]),
    ),
    (
        "counted",
        "Plays counted",
        "Plays counted",
        "not counted",
        lambda u: (u.games["sides_counted"], u.games["sides_due_count"]),
    ),
    (
        "entered",
        "Written down in time",
        "Written down in time",
        "written down later",
        lambda u: (u.entries["statements"] - u.entries["entered_late"], u.entries["statements"]),
    ),
    (
        "answered",
        "Questions answered in time",
        "Questions in time",
        "later, or overdue",
        lambda u: (
            u.cases["answered"] - u.cases["answered_late"],
            u.cases["answered"] + u.cases["overdue_open"],
        ),
    ),
)
SIGNED_BY = (
    ("by_key", "With a key of one’s own"),
    ("by_ink", "In ink, scan kept"),
    ("by_sheet", "On the day’s sheet"),
    ("missing", "Missing"),
)
OUTCOMES = {
    "upheld": "upheld",
    "denied": "denied",
    "decided": "decided",
    "no_ruling": "closed without a ruling",
    "open": "open",
    "withdrawn": "withdrawn",
}
REASONS = {
    "weigh": "The weigh-in",
    "roster": "A roster",
    "plays": "Plays",
    "protest": "A protest",
    "safety": "Safety",
    "other": "Something else",
}
CHILDREN = (
    ("weighed", "Children weighed"),
    ("late", "Children who came late"),
    ("short", "Children short of plays"),
)


def steps_of(unit: UnitCount) -> tuple[StepLine, ...]:
    """Every step, done of due, in the order of a game."""
    lines = []
    for key, label, short, rest, count in STEPS:
        done, due = count(unit)
        words = f"{due - done:,} {rest}" if due > done else ""
        lines.append(
            StepLine(
                key=key,
                label=label,
                short=short,
                done=done,
                due=due,
                rest=words,
                bar=share_bar(done, due),
            )
        )
    return tuple(lines)


def children_of(unit: UnitCount) -> tuple[CountLine, ...]:
    return tuple(
        CountLine(label=label, count=format_count(unit.children[what])) for what, label in CHILDREN
    )


def purpose(rule: str) -> str:
    """What the rule is raised for, as a sentence's beginning."""
    what = rule_header(rule).what
    return what[0].upper() + what[1:]


def rule_line(count: RuleCount) -> CountLine:
    """What was found, how often, and who looks at it."""
    roles = [role_word(role) for role in rule_header(count.rule).look]
    said = roles[0][0].upper() + ", ".join(roles)[1:]
    return CountLine(
        label=purpose(count.rule) + (" (both teams)" if count.is_shared else ""),
        count=format_count(count.count),
        more=said,
    )


def role_word(role: str) -> str:
    return "weighmasters" if role == "weighmasters" else ROLES[role]


def case_times(unit: UnitCount) -> str:
    """How many questions, how many answers and how long they took."""
    cases = unit.cases
    if not cases["cases"]:
        return "No question was put to review."
    said = f"{count_of(cases['cases'], 'question')} put to review; {cases['answered']:,} answered"
    if cases["answered"]:
        middle, longest = duration(cases["middle_hours"]), duration(cases["longest_hours"])
        late = cases["answered_late"]
        said += f", {late:,} of them later than the league allows" if late else ", all in time"
        said += f". Half of the answers came within {middle}; the longest within {longest}"
    if cases["overdue_open"]:
        said += f". {cases['overdue_open']:,} overdue and without an answer"
    return said + "."


def case_note(unit: UnitCount) -> str:
    """The same in few words."""
    cases = unit.cases
    if not cases["cases"]:
        return "No questions"
    said = f"{count_of(cases['cases'], 'question')}, {cases['answered']:,} answered"
    if cases["answered"]:
        said += f" within {duration(cases['longest_hours'])}"
    return said


def duration(hours: int) -> str:
    """ "an hour", "5 hours", "3 days 4 hours": whole hours, begun ones counted."""
    days, rest = divmod(hours + 1, 24)
    parts = [count_of(days, "day")] if days else []
    parts += [count_of(rest, "hour")] if rest or not days else []
    return " ".join(parts)


def case_line(row: Mapping[str, Any]) -> CountLine:
    reason = REASONS.get(row["reason"], str(row["reason"]).capitalize())
    longest = "" if row["longest_hours"] is None else duration(row["longest_hours"])
    return CountLine(
        label=f"{reason}: {OUTCOMES.get(row['outcome'], row['outcome'])}",
        count=f"{row['cases']:,}",
        more=longest,
    )


def advice(unit: UnitCount, league: League) -> Iterator[str]:
    """What to look at next season: a sentence for each step of which something is missing."""
    missing = {line.key: line.due - line.done for line in steps_of(unit)}
    minutes = league["weigh_in"]["entered_late_after_min"]
    days = league["reviews"]["decide_within_days"]
    said = {
        "proved": "Check the scale, and write it down, before the first child steps on it"
        f" ({_times(missing['proved'], 'game')}).",
        "attended": "Bring a weighmaster of each team to every game"
        f" (none recorded {_times(missing['attended'], 'time')}).",
        "signed": "Leave time for both sides to sign both lists"
        f" ({_times(missing['signed'], 'signature')} missing).",
        "counted": "Name who counts plays for each team before kickoff"
        f" (nobody did {_times(missing['counted'], 'time')}).",
        "entered": f"Write things down within {count_of(minutes, 'minute')}"
        f" ({_times(missing['entered'], 'statement')} came later).",
        "answered": f"Answer questions within {count_of(days, 'day')}"
        f" ({_times(missing['answered'], 'question')} waited longer).",
    }
    yield from (said[key] for key in said if missing[key])
    if _is_some(unit.children["short"]):
        short = format_count(unit.children["short"])
        yield f"Look at the count of plays at half time (children short of plays: {short})."
    if _is_some(unit.children["late"]):
        late = format_count(unit.children["late"])
        yield f"Tell families again when the weigh-in opens (children who came late: {late})."
    if unit.signed and not unit.signatures["by_key"]:
        yield "Try signing with keys: a key shows who signed better than a sheet does."


def well(unit: UnitCount, quiet: int | None, rules: int) -> Iterator[str]:
    """What went well, in counts; `quiet` of the `rules` were never raised (None: not looked at)."""
    full = [line for line in steps_of(unit) if line.due and line.done == line.due]
    if full:
        said = join([f"{_lower(line.label)} ({line.done:,})" for line in full])
        yield f"Done every time: {said}."
    weeks = [week for week in unit.weeks if week.weighed]
    clean = [week for week in weeks if week.signed == week.signatures_due]
    if clean:
        yield f"In {len(clean):,} of {len(weeks):,} weeks every signature is there."
    games = unit.games
    if games["checks_passed"]:
        yield f"{games['checks_passed']:,} of {games['checks']:,} checks of a scale passed."
    if unit.cases["answered"]:
        yield f"{unit.cases['answered']:,} of {unit.cases['cases']:,} questions have an answer."
    if unit.children["short"] == 0 and games["sides_counted"]:
        yield "Where plays were counted, no child is recorded as short of them."
    if quiet:
        yield f"{quiet:,} of {rules:,} rules of the procedure were never raised."


def how_counted(league: League) -> tuple[str, ...]:
    """What a reader needs to take the numbers as they are meant."""
    minutes = count_of(league["weigh_in"]["entered_late_after_min"], "minute")
    return (
        (
            "A game is weighed when somebody of either team was. A game that is off counts no "
            "further."
        ),
        (
            "A scale is proved when a check that passed, or a notice that it is out, came before "
            "the first weigh on it."
        ),
        (
            "Each game has two lists, and each side signs both: four signatures. A signature "
            "counts for the team that signs, once, with a key before ink before the sheet."
        ),
        "An own weighmaster and the plays are counted for each team in each weighed game.",
        (
            f"Written down in time is within {minutes}. What names no team counts for the league "
            "only."
        ),
        (
            "A finding points at statements; it accuses nobody. One that names no team is of a "
            "whole game and stands with both teams, so that teams do not add up to the league."
        ),
        (
            "A question is of the team it names, else of both teams of its game. Time runs from "
            "the question to when the first ruling or close was written down."
        ),
        (
            "Children count once a game. A count of children from 1 to 4 is “fewer than 5”. Where"
            " sums would give it away, another count is “not shown”, which may be any number. "
            "Findings that name a player are counts of children, and are given for the league "
            "alone. Counts of steps are shown as they are."
        ),
        (
            "Teams stand in order of division and name. Nothing here is a ranking: a team that "
            "writes down more has more to be counted."
        ),
    )


def _times(count: int, noun: str) -> str:
    return f"{count:,} {noun}" if count == 1 else f"{count:,} {noun}s"


def _lower(label: str) -> str:
    return label[0].lower() + label[1:]


def _is_some(shown: Shown) -> bool:
    return isinstance(shown, Kept) or shown > 0
