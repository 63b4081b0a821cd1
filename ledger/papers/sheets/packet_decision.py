"""A packet's decision form, filled in with all that the ledger knows."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.papers.sheets.packet_front import who_in_question
from ledger.papers.sheets.packet_front_context import (
    Choice,
    DecisionShown,
    Fact,
    PlayerChoice,
    ToSign,
)
from ledger.papers.sheets.packet_parts import Whom, said_words
from ledger.record.authority import role_name
from ledger.review.cases import Case, Entry
from ledger.review.packet import Packet
from ledger.review.packet_protest import MOST_PLAYERS
from ledger.review.rulings import decision_of, ruling_of, rulings_of
from ledger.say import codes, words
from ledger.say import packet_front as say

_DECIDES = "I decide this question as written here."
_TOLD = "I was told about this decision."
_ENTERED = "Enter the decision in the ledger afterwards, with its time."
_ENTER = "To enter it:"
_ENTER_EACH = "To enter it, once for each player:"
_LINES = (5, 5, 3, 2)
"""Lines to write on, by the number of players: the form fits on a page."""
_SILENT = "nothing"
_PLAYS = {
    "full": "whole game",
    "second_half": "second half",
    "none": "does not play",
    _SILENT: "nothing said",
}
_CARRIES = {"yes": "yes", "no": "no", _SILENT: "nothing said"}


def lay_decision(packet: Packet, reviewers: Sequence[str], whom: Whom) -> DecisionShown | None:
    """The form; None if the question was withdrawn.

    `reviewers` are the officials who hold the role that decides.
    """
    case = packet.case
    if case.state == "withdrawn":
        return None
    ruling, players = ruling_of(case), tuple(_players(packet, whom))
    said = [said_words(one.said, one.is_erased) for one in decision_of(case, packet.events)]
    return DecisionShown(
        decides=decides(case),
        known=_known(packet, whom),
        verdict=_ticked("The question", codes.RULINGS, ruling.value if ruling else None),
        players=players,
        lines=_LINES[len(players)],
        because=" ".join(dict.fromkeys(filter(None, said))),
        ruled=_ruled(packet, whom),
        pass_on=_pass_on(case),
        signatures=_signatures(packet, ruling, reviewers, whom),
        to_enter=_ENTER_EACH if packet.sides and not case.player else _ENTER,
        command=_command(packet),
    )


def deciding_role(case: Case) -> str | None:
    """The role that decides: the reviewer who has the question, else the next in order."""
    if case.with_role in [one.role for one in case.reviewers]:
        return case.with_role
    return case.next_reviewer


def decides(case: Case) -> str:
    """Who fills in the form, and what happens to it."""
    role = deciding_role(case)
    if case.state == "open":
        if role is None:
            who = "the next reviewer; everyone in the league’s order has had it"
        elif role == case.with_role:
            who = f"the {role_name(role)}, who has the question now"
        else:
            who = f"the {role_name(role)}, who is next in the league’s order"
        return f"To be filled in by {who}. {_ENTERED}"
    if case.state == "ruled":
        done = "was ruled on"
    else:
        done = "is ruled on and closed" if case.ruling else "is closed without a ruling"
    again = "Change it only if a reviewer takes it up again."
    return f"The question {done}. {again} {_ENTERED}"


def _known(packet: Packet, whom: Whom) -> tuple[Fact, ...]:
    case, source = packet.case, whom.source
    found = [Fact(label="Case", text=case.case_id)]
    for game in packet.games[:1]:
        sides = f"{whom.team(game['visitor'])} at {whom.team(game['home'])}"
        found.append(
            Fact(label="Game", text=f"{game['game']}, {source.time(game['kickoff_at'])}, {sides}")
        )
    who = who_in_question(packet, whom) if case.player else whom.team(case.team or "")
    if who:
        found.append(Fact(label="About", text=words.upper_first(who)))
    asked = f"{whom.official(case.opened_by)}, {source.time(case.opened_at)}"
    found.append(Fact(label="Asked by", text=asked))
    if case.reason == "protest":
        in_time, is_late = say.in_time(case, source.zone)
        found.append(Fact(label="Asked in time?", text=in_time, strong=is_late))
    if case.due_at:
        text, strong = say.to_decide(case, source.zone)
        found.append(Fact(label="To be decided by", text=text, strong=strong))
    return tuple(found)


def _ticked(label: str, named: dict[str, str], value: str | None) -> Choice:
    return Choice(label=label, words=tuple((word, code == value) for code, word in named.items()))


def _players(packet: Packet, whom: Whom) -> list[PlayerChoice]:
    """The players in question; room for one if the question has teams but no player."""
    if not packet.sides:
        return []
    decided: dict[tuple[str | None, str | None, str | None], dict[str, str]] = {}
    for entry in rulings_of(packet.case):
        one = packet.events[entry.event_id]
        about = decided.setdefault((one.game, one.team, one.player), {})
        about |= {key: one.data[key] for key in ("may_play", "may_carry") if key in one.data}
    asked = [
        (table.game, table.team, row)
        for table in packet.compared
        for row in table.rows
        if row.is_asked
    ]
    is_ruled = bool(packet.case.ruling)
    found = []
    for game, team, row in asked[:MOST_PLAYERS]:
        said = decided.get((game, team, row.player), {})
        named = f"{whom.player(row.player, row.number)}, {whom.team(team)}, game {game}"
        found.append(PlayerChoice(player=named, choices=_rights(said, is_ruled)))
    return found or [PlayerChoice(player="", choices=_rights({}, is_ruled))]


def _rights(said: dict[str, str], is_ruled: bool) -> tuple[Choice, ...]:
    """May play and may carry; a ruling that is silent on one has said nothing of it."""
    unsaid = _SILENT if is_ruled else None
    return (
        _ticked("May play", _PLAYS, said.get("may_play", unsaid)),
        _ticked("May carry", _CARRIES, said.get("may_carry", unsaid)),
    )


def _pass_on(case: Case) -> str:
    """The reviewer after the one who decides now; "" if nobody is next."""
    if case.state != "open":
        return ""
    order = [one.role for one in case.reviewers]
    role = deciding_role(case)
    after = order[order.index(role) + 1 :] if role in order else []
    return role_name(after[0]) if after else ""


def _ruled(packet: Packet, whom: Whom) -> str:
    """When and by whom it was ruled; the day beside a signature is for the person who signs."""
    decision = decision_of(packet.case, packet.events)
    if not decision:
        return ""
    by = whom.source.names.of(decision[0].by)
    return f"{by}, {whom.source.time(decision[0].happened_at)}"


def _signatures(
    packet: Packet, ruling: Entry | None, reviewers: Sequence[str], whom: Whom
) -> tuple[ToSign, ...]:
    """Room for the reviewer, and for those who hear the decision."""
    case, names = packet.case, whom.source.names
    role = deciding_role(case)
    reviewer = ToSign(
        side=words.upper_first(role_name(role)) if role else "Reviewer",
        meaning=_DECIDES,
        name=names.of(reviewers[0]) if len(reviewers) == 1 else "",
    )
    if ruling:
        reviewer = ToSign(
            side=words.upper_first(ruling.capacity) if ruling.capacity else "Reviewer",
            meaning=_DECIDES,
            name=names.of(ruling.by),
        )
    asked = ToSign(side="Who asked", meaning=_TOLD, name=names.of(case.opened_by))
    told = [
        ToSign(side=whom.team(game[side]), meaning=_TOLD, name="")
        for game in packet.games[:1]
        for side in ("visitor", "home")
    ]
    return reviewer, asked, *told


def _command(packet: Packet) -> str:
    """What to type; what the question does not name is to be given."""
    case = packet.case
    missing = [
        f" --{key} …"
        for key, given in (("game", case.game), ("team", case.team), ("number", case.player))
        if not given
    ]
    rights = "".join([*missing, " --may-play … --may-carry …"]) if packet.sides else ""
    return f"weighbook case rule {case.case_id} --value …{rights} --by … --close"
