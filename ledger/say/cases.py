"""A case as text for people, in 80 columns: children by number and id, officials by id."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ledger.record.authority import role_name
from ledger.say import codes
from ledger.say.clock import local_date, local_time, short_time
from ledger.say.lines import paragraph, short_id

if TYPE_CHECKING:
    from ledger.review.cases import Case, Entry
    from ledger.review.routes import Route

_LABEL, _TIME = 11, 27
_LIST_ROLES = {"coach": "head coaches"}


def about(row: Mapping[str, Any]) -> str:
    """The game, team and child a row is about: "acorn-3b quokkas 46"; empty where none."""
    number, player = row["number"], row["player"]
    child = short_id(player) if number is None else str(number)
    side = " ".join(part for part in (row["team"], child) if part)
    return " ".join(part for part in (row["game"], side) if part)


def stands(row: Mapping[str, Any], zone_name: str, now: str) -> str:
    """Where a case stands in a few words: "closed: upheld", or with whom and due when."""
    if row["state"] == "withdrawn":
        return "withdrawn"
    if row["state"] != "open":
        late = ", late" if row["is_overdue"] else ""
        return f"{row['state']}: {row['ruling'] or 'no ruling'}{late}"
    day = local_date(row["due_at"], zone_name)
    passed = ", passed" if now > row["due_at"] else ""
    return f"open: {role_name(row['with_role'])}\ndue {day}{passed}"


def route_lines(route: Route) -> list[str]:
    """Who hears of a question, in order, and why."""
    lines = []
    if route.tell:
        told = [_LIST_ROLES.get(role, f"the {role_name(role)}") for role in route.tell]
        lines.append(f"Tell at once: {', '.join(told)}.")
    lines.append("Reviewers: " + ", then the ".join(map(role_name, route.reviewers)) + ".")
    return [paragraph(line) for line in [*lines, route.why]]


def case_text(case: Case, zone_name: str) -> str:
    """Everything about a case: the question, where it stands, what was said, what touches it."""
    parts = [_head(case, zone_name), _timeline(case, zone_name)]
    parts += [_exhibits(case)] if case.exhibits else []
    parts += [_findings(case)] if case.findings else []
    return "\n\n".join(parts)


def _head(case: Case, zone_name: str) -> str:
    row = vars(case)
    whom = about(row)
    if case.player and case.number is not None:
        whom += f" ({short_id(case.player)})"
    lines = [f"{case.case_id}: {case.question}" + (f" about {whom}" if whom else "")]
    opening = next((e for e in case.timeline if e.kind == "case_open" and not e.withdrawn_by), None)
    asked = f"{local_time(case.opened_at, zone_name)} by {case.opened_by}"
    said = _said(opening) if opening else ""
    lines.append(_labelled("Asked", asked + (f": {said}" if said else "")))
    lines.append(_labelled("Stands", _stands(case)))
    if case.due_at:
        lines.append(_labelled("Due", _due(case, zone_name)))
    if case.protest_due_at:
        late = "this one came too late" if case.is_protest_late else "this one came in time"
        until = local_time(case.protest_due_at, zone_name)
        lines.append(_labelled("Protests", f"until {until}; {late}."))
    for number, reviewer in enumerate(case.reviewers, 1):
        label = "Reviewers" if number == 1 else ""
        words = f"{number}. {role_name(reviewer.role)}: {codes.REVIEWERS[reviewer.standing]}"
        lines.append(_labelled(label, words))
    rulings = [entry for entry in case.timeline if entry.kind == "ruling"]
    for number, entry in enumerate(rulings):
        label = "Rulings" if number == 0 else ""
        effect = entry.what.partition(". ")[2]
        words = f"{entry.value}, by {entry.by} ({entry.event_id})."
        lines.append(_labelled(label, words + f" {effect}." * bool(effect) + _remark(entry)))
    return "\n".join(lines)


def _stands(case: Case) -> str:
    if case.state == "withdrawn":
        return "The question was withdrawn."
    ruled = f"Ruled: {case.ruling}." if case.ruling else "No ruling by one of its reviewers."
    if case.state == "closed":
        return f"Closed. {ruled}"
    following = f"the {role_name(case.next_reviewer)}" if case.next_reviewer else ""
    if case.state == "ruled":
        return f"{ruled} Not closed yet" + (f"; {following} would be next." if following else ".")
    goes_on = following and case.next_reviewer != case.with_role
    after = f"; next, {following}." if goes_on else "."
    return f"Open. With the {role_name(str(case.with_role))}{after}"


def _due(case: Case, zone_name: str) -> str:
    due = local_time(str(case.due_at), zone_name)
    if case.answered_at and case.state == "open":
        when = local_time(case.answered_at, zone_name)
        over = " The time is over." if case.is_time_over else ""
        return f"{due}; a ruling came {when}, not by one of its reviewers.{over}"
    if case.answered_at:
        late = ", late" if case.is_overdue else ""
        return f"{due}; answered {local_time(case.answered_at, zone_name)}{late}."
    return f"{due}; the time is over." if case.is_time_over else f"{due}."


def _timeline(case: Case, zone_name: str) -> str:
    lines = [f"{'Happened':<{_TIME}}{'Written down':<{_TIME}}Recorded"]
    for entry in case.timeline:
        times = (entry.happened_at, entry.entered_at, entry.recorded_at)
        lines.append("".join(short_time(time, zone_name).ljust(_TIME) for time in times).rstrip())
        who = entry.by + (f" ({entry.capacity})" if entry.capacity else "")
        told = f"{entry.event_id}, {who}: {entry.what}.{_remark(entry)}"
        lines.append(paragraph(told, indent=2, hang=4))
        if said := _said(entry):
            lines.append(paragraph(said, indent=4))
    return "\n".join(lines)


def _remark(entry: Entry) -> str:
    if entry.withdrawn_by:
        return f" Withdrawn by {entry.withdrawn_by}; it does not count."
    if entry.has_authority is False:
        return " Not by one of this case's reviewers: it changes nobody's eligibility."
    if entry.is_role_later:
        return " The ledger learned of the role only after this ruling."
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
    lines = ["Findings that touch it"]
    for finding in case.findings:
        number = case.number if finding["player"] == case.player else None
        whom = about({**finding, "game": None, "number": number})
        rule = finding["rule"] + (f" ({whom})" if whom else "")
        lines.append(paragraph(f"{rule}: {finding['detail']}", indent=2, hang=4))
    return "\n".join(lines)


def _labelled(label: str, text: str) -> str:
    return paragraph(label.ljust(_LABEL) + text, hang=_LABEL)


def _said(entry: Entry) -> str:
    if entry.is_erased:
        return "(what was said here was erased)"
    return f"“{_plain(entry.said)}”" if entry.said else ""


def _plain(text: str) -> str:
    """Another person's words as a terminal may show them: on one line, and no control codes."""
    kept = (character if character.isprintable() else " " for character in text)
    return " ".join("".join(kept).split())
