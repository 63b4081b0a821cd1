"""A team's list as a page shows it before it is signed: the paper's lines, and what is open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from ledger.actions.officials import Officials
from ledger.derive.settling import Settling, read_settling
from ledger.derive.signed_list import list_content
from ledger.field.rights import SIGN, may
from ledger.papers.press.heads import Heads
from ledger.papers.sheets.lists import ListPaper, lay_list
from ledger.papers.sheets.source import GameSource
from ledger.say import codes
from ledger.say.lists import doubt_line
from ledger.say.settling import settle_lines
from ledger.say.words import short_hash
from ledger.store.store import Store

Data = dict[str, Any]
_HEAD = ("league", "season", "division", "kickoff", "site", "home", "visitor", "is_off", "off")


def open_of(store: Store, game: str, team: str) -> Data:
    """What is to be settled before the team's weigh-in is closed."""
    source = GameSource(Heads(store), game)
    source.opponents_of(team)
    return _settle(source, read_settling(source.engine, game, team))


def list_of(store: Store, officials: Officials, game: str, team: str) -> Data:
    """The list with its number, what is open, and who may sign it."""
    source = GameSource(Heads(store), game)
    paper: ListPaper = lay_list(source, team).context["paper"]
    settling = read_settling(source.engine, game, team)
    head = asdict(paper.head)
    content = list_content(source.engine, game, team)
    given = source.signatures.of(game, team, content)
    has_signed = {one.row["official"] for one in given if one.state == "stands"}
    shown = ("team", "opponent", "control", "open", "late", "off", "since", "recorded", "typed_in",
             "waiting", "not_yet", "is_signed")  # fmt: skip
    whole = asdict(paper)
    return {
        "game": game,
        "number": paper.digest,
        "short_number": short_hash(paper.digest),
        "head": {key: head[key] for key in _HEAD},
        **{key: whole[key] for key in shown},
        "lines": [_line(one) for one in whole["lines"]],
        "signatures": [_signature(one) for one in whole["signatures"]],
        "settle": _settle(source, settling),
        "doubts": [doubt_line(one, source.league) for one in settling.doubts],
        "signers": _signers(officials, game, source, has_signed),
    }


def _settle(source: GameSource, settling: Settling) -> Data:
    """The codes that a signature names as shown, each in words, and lines by number.

    A name in a sentence would stay on the screen when the page hides names.
    """
    lines = settle_lines(settling, source.league, source.zone)
    return {
        "codes": list(settling.codes),
        "words": {code: codes.OPEN[code] for code in settling.codes},
        "lines": list(lines),
    }


def _line(line: Mapping[str, Any]) -> Data:
    listings = [one | {"reason": codes.reason(one["reason"])} for one in line["listings"]]
    return {**line, "listings": listings}


def _signature(line: Mapping[str, Any]) -> Data:
    return {**line, "how": codes.how_signed(line["how"]) if line["how"] else ""}


def _signers(
    officials: Officials, game: str, source: GameSource, has_signed: Sequence[str] | set[str]
) -> list[Data]:
    """The weighmasters of both sides, visitors first: who has a key, who has signed."""
    found = []
    for side in source.sides:
        for official in sorted(officials.roles):
            is_there = any(
                one.role == "weighmaster" and one.team == side and one.game in (None, game)
                for one in officials.roles[official]
            )
            if not is_there or not may(officials, official, SIGN, game):
                continue
            scope = officials.signs_with(official, game)
            is_on_phone = scope in officials.on_phones
            found.append(
                {
                    "official": official,
                    "name": officials.names[official],
                    "side": side,
                    "side_name": source.team_name(side),
                    "has_key": scope is not None and not is_on_phone,
                    "has_phone_key": is_on_phone,
                    "has_signed": official in has_signed,
                }
            )
    return found
