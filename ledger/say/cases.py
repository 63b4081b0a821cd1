"""A case as text in 80 columns: children by number and id, officials by id."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ledger.record.authority import role_name
from ledger.say import codes
from ledger.say.clock import local_date, local_time, short_time
from ledger.say.lines import paragraph, short_id

if TYPE_CHECKING:
    from ledger.review.cases import Case, Entry, Reviewer
    from ledger.review.routes import Route

_LABEL, _TIME = 11, 27
_LIST_ROLES = {"coach": "head coaches"}
_WHY = {
    "roster": "Settle roster questions in the office, not in front of the child.",
    "safety": "Head coaches and officials hear it first: they can make the field safe.",
    "other": "The site official answers first. Bigger questions go up.",
}


def about(row: Mapping[str, Any]) -> str:
    """The game, team and child of a row: "acorn-3b quokkas 46"; "" without any."""
    number, player = row["number"], row["player"]
    child = short_id(player) if number is None else str(number)
    side = " ".join(part for part in (row["team"], child) if part)
    return " ".join(part for part in (row["game"], side) if part)


def stands(row: Mapping[str, Any], zone_name: str, now: str) -> str:
    """The state of a case in a few words: "closed: upheld", or who has it and until when."""
    if row["state"] == "withdrawn":
        return "withdrawn"
    if row["state"] != "open":
        late = ", late" if row["is_overdue"] else ""
        ruling = codes.RULINGS[row["ruling"]] if row["ruling"] else "no ruling"
        return f"{row['state']}: {ruling}{late}"
    day = local_date(row["due_at"], zone_name)
    passed = ", passed" if now > row["due_at"] else ""
    return f"open: {role_name(row['with_role'])}\ndue {day}{passed}"


def ruled(entry: Entry) -> str:
    """A ruling, without a period: "Ruled: denied. ash 2 in g1 does not play"."""
    effect = entry.what.partition(". ")[2]
    return ". ".join(filter(None, [f"Ruled: {codes.RULINGS[entry.value]}", effect]))


def standing(case: Case, reviewer: Reviewer) -> str:
    """How far the case has come with a reviewer: "passed it on", "not asked"."""
    if reviewer.standing == "heard" and case.has_passed_on(reviewer.role):
        return codes.PASSED_ON
    return codes.REVIEWERS[reviewer.standing]


def route_lines(route: Route) -> list[str]:
    """The people to ask about a question, in order, and why."""
    tell = [_LIST_ROLES.get(role, f"the {role_name(role)}") for role in route.tell]
    lines = [f"Tell at once: {', '.join(tell)}."] if tell else []
    lines.append("Reviewers: " + ", then the ".join(map(role_name, route.reviewers)) + ".")
    return [paragraph(line) for line in [*lines, _WHY.get(route.reason, _WHY["other"])]]


def case_text(case: Case, zone_name: str) -> str:
    """A whole case: the question, its state, what people said, its exhibits and findings."""
    parts = [_head(case, zone_name), _timeline(case, zone_name)]
    parts += [_exhibits(case)] if case.exhibits else []
    parts += [_findings(case)] if case.findings else []
    return "\n\n".join(parts)


def _head(case: Case, zone_name: str) -> str:
    row = vars(case)
    subject = about(row)
    if case.player and case.number is not None:
        subject += f" ({short_id(case.player)})"
    lines = [f"{case.case_id}: {case.question}" + (f" about {subject}" if subject else "")]
    opening = next((e for e in case.timeline if e.kind == "case_open" and not e.withdrawn_by), None)
    asked = f"{local_time(case.opened_at, zone_name)} by {case.opened_by}"
    said = _said(opening) if opening else ""
    lines.append(_labelled("Asked", asked + (f": {said}" if said else "")))
    lines.append(_labelled("State", _stands(case)))
    if case.due_at:
        lines.append(_labelled("Due", _due(case, zone_name)))
    if case.protest_due_at:
        late = "this one came too late" if case.is_protest_late else "this one came in time"
        until = local_time(case.protest_due_at, zone_name)
        lines.append(_labelled("Protests", f"until {until}; {late}."))
    reviewers = [
        f"{number}. {role_name(one.role)}: {standing(case, one)}"
        for number, one in enumerate(case.reviewers, 1)
    ]
    rulings = [_ruling(entry) for entry in case.timeline if entry.kind == "ruling"]
    for label, texts in (("Reviewers", reviewers), ("Rulings", rulings)):
        lines += [_labelled("" if n else label, text) for n, text in enumerate(texts)]
    return "\n".join(lines)


def _ruling(entry: Entry) -> str:
    value, _, effect = ruled(entry).removeprefix("Ruled: ").partition(". ")
    said = f"{value}, by {entry.by} ({entry.event_id})." + f" {effect}." * bool(effect)
    return said + _remark(entry)


def _stands(case: Case) -> str:
    if case.state == "withdrawn":
        return "The question was withdrawn."
    ruled = (
        f"Ruled: {codes.RULINGS[case.ruling]}." if case.ruling else "No ruling by its reviewers."
    )
    if case.state == "closed":
        return f"Closed. {ruled}"
    following = f"the {role_name(case.next_reviewer)}" if case.next_reviewer else ""
    if case.state == "ruled":
        return f"{ruled} Not closed yet" + (f"; next would be {following}." if following else ".")
    goes_on = following and case.next_reviewer != case.with_role
    after = f"; next, {following}." if goes_on else "."
    return f"Open. With the {role_name(str(case.with_role))}{after}"


def _due(case: Case, zone_name: str) -> str:
    due = local_time(str(case.due_at), zone_name)
    if case.answered_at and case.state == "open":
        when = local_time(case.answered_at, zone_name)
        over = " Time is up." if case.is_time_over else ""
        return f"{due}; ruled on {when}, but not by one of its reviewers.{over}"
    if case.answered_at:
        late = ", late" if case.is_overdue else ""
        return f"{due}; answered {local_time(case.answered_at, zone_name)}{late}."
    return f"{due}; time is up." if case.is_time_over else f"{due}."


def _timeline(case: Case, zone_name: str) -> str:
    lines = [f"{'Happened':<{_TIME}}{'Written down':<{_TIME}}Recorded"]
    for entry in case.timeline:
        times = (entry.happened_at, entry.entered_at, entry.recorded_at)
        lines.append("".join(short_time(time, zone_name).ljust(_TIME) for time in times).rstrip())
        who = entry.by + (f" ({entry.capacity})" if entry.capacity else "")
        what = ruled(entry) if entry.kind == "ruling" else entry.what
        text = f"{entry.event_id}, {who}: {what}.{_remark(entry)}"
        lines.append(paragraph(text, indent=2, hang=4))
        if said := _said(entry):
            lines.append(paragraph(said, indent=4))
    return "\n".join(lines)


def _remark(entry: Entry) -> str:
    if entry.withdrawn_by:
        return f" Withdrawn by {entry.withdrawn_by}; it does not count."
    if entry.has_authority is False:
        return " Not by a reviewer of this case, so it changes nobody's eligibility."
    if entry.is_role_later:
        return " The role came into the ledger only after this ruling."
    return ""


def _exhibits(case: Case) -> str:
    lines = ["Exhibits, each with its SHA-256"]
    for exhibit in case.exhibits:
        name = _plain(exhibit.kept_as or "")
        kept = f"kept as {name}" if name else "not kept here"
        if exhibit.copy_sha256:
            kept = f"a redacted copy is {kept}; its SHA-256 is the second"
        lines.append(paragraph(f"{exhibit.event_id}, {exhibit.by}: {kept}.", indent=2, hang=4))
        lines += [f"    {digest}" for digest in (exhibit.sha256, exhibit.copy_sha256) if digest]
    return "\n".join(lines)


def _findings(case: Case) -> str:
    lines = ["Findings about it"]
    for finding in case.findings:
        number = case.number if finding["player"] == case.player else None
        subject = about({**finding, "game": None, "number": number})
        rule = finding["rule"] + (f" ({subject})" if subject else "")
        lines.append(paragraph(f"{rule}: {finding['detail']}", indent=2, hang=4))
    return "\n".join(lines)


def _labelled(label: str, text: str) -> str:
    return paragraph(label.ljust(_LABEL) + text, hang=_LABEL)


def _said(entry: Entry) -> str:
    if entry.is_erased:
        return "(this text was erased)"
    return f"“{_plain(entry.said)}”" if entry.said else ""


def _plain(text: str) -> str:
    """A person's words on one line, without control codes."""
    return " ".join("".join(one if one.isprintable() else " " for one in text).split())
