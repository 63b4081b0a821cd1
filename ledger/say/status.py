"""Where a game stands, in a few lines of the season and by itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ledger.derive.game_state import WEIGH_IN, GameState
from ledger.errors import count_of
from ledger.say import codes
from ledger.say.clock import local_day, local_time, time_beside
from ledger.say.lines import Line
from ledger.say.words import join

_STEPS = {
    "book_not_initialed": ("book mark", ""),
    "carrier_undecided": ("decision on carrying", "decisions on carrying"),
    "half_not_stated": ("end of the first half", ""),
    "list_not_countersigned": ("signature", ""),
    "listed_over_weighed_ok": ("line to strike off", "lines to strike off"),
    "no_weighmaster": ("weighmaster at the scale", "weighmasters at the scale"),
    "noncarrier_not_listed": ("line for over", "lines for over"),
    "noncarrier_not_striped": ("stripe", ""),
    "not_struck_off": ("line to strike off", "lines to strike off"),
    "plays_not_counted": ("team's plays", "teams' plays"),
    "plays_short": ("player short of plays", "players short of plays"),
    WEIGH_IN: ("weigh-in", ""),
    "unaccounted": ("player not accounted for", "players not accounted for"),
}
"""What is missing by each rule that has a step."""


def missing(steps: Mapping[str, int]) -> str:
    """ "1 signature, 2 teams' plays"; "" for nothing. `steps` counts the findings of each rule."""
    counts: dict[tuple[str, str], int] = {}
    for rule, count in steps.items():
        counts[_STEPS[rule]] = counts.get(_STEPS[rule], 0) + count
    return ", ".join(count_of(count, *words) for words, count in counts.items())


def season_lines(states: Sequence[GameState], entries: Mapping[str, int], zone: str) -> list[Line]:
    """Every game, day by day: when and where, weighed and signed, and what is missing."""
    lines: list[Line] = []
    day = ""
    for state in states:
        if (today := local_day(state.kickoff, zone)) != day:
            day = today
            lines.append(Line(day))
        when = time_beside(state.kickoff, state.kickoff, zone)
        if state.scheduled != state.kickoff:
            when += f" (moved from {time_beside(state.kickoff, state.scheduled, zone)})"
        lines.append(Line(f"{state.game}: {when}{', ' * bool(state.site)}{state.site or ''}", 2, 4))
        lines.append(
            Line(f"{_sides(state)}; {count_of(entries[state.game], 'entry', 'entries')}", 4, 4)
        )
        if state.missing:
            lines.append(Line(f"Missing: {missing(state.missing)}", 4, 4))
    return lines


def _sides(state: GameState) -> str:
    """ "marmots 22/24 at newts 21/22 weighed; 4 of 4 signed" """
    visitor, home = state.sides
    if state.off:
        return f"{visitor.team} at {home.team}: called off by {state.off['stated_by']}"
    each = [f"{side.team} {side.weighed}/{side.roster}" for side in state.sides]
    signed = f"; {state.signatures} of 4 signed" if state.signatures else ""
    return f"{' at '.join(each)} weighed{signed}"


def off_words(game: str, by: str, at: str, zone: str) -> str:
    """Who called a game off, and when."""
    return f"{game} is called off, by {by}, {local_time(at, zone)}."


def game_lines(state: GameState, zone: str) -> list[str]:
    """The game by itself."""
    visitor, home = state.sides
    lines = [f"{state.game}: {visitor.team} at {home.team}"]
    kickoff = f"Kickoff: {local_time(state.kickoff, zone)}"
    if state.scheduled != state.kickoff:
        kickoff += f" (first scheduled for {local_time(state.scheduled, zone)})"
    lines += [f"{kickoff}.", f"Site: {state.site}." if state.site else "Site: none given."]
    if state.off:
        return [
            *lines,
            off_words(state.game, state.off["stated_by"], state.off["happened_at"], zone),
        ]
    each = [f"{side.team} {side.weighed} of {side.roster}" for side in state.sides]
    lines.append(f"Weighed: {', '.join(each)}.")
    lines += [_list_line(state, side.team) for side in state.sides]
    lines += [f"Missing: {missing(state.missing)}."] if state.missing else []
    lines += [f"Still to do: {missing(state.still)}."] if state.still else []
    if state.missing or state.still:
        lines.append(f"weighbook findings --game {state.game} says which.")
    return lines


def _list_line(state: GameState, team: str) -> str:
    own = [row for row in state.signed_by if row["team"] == team]
    if not own:
        return f"List of {team}: not signed."
    return (
        f"List of {team}: "
        + "; ".join(
            f"for {side.team}, {_signers([row for row in own if row['side'] == side.team])}"
            for side in state.sides
        )
        + "."
    )


def _signers(rows: Sequence[Mapping[str, str]]) -> str:
    return join([f"{row['official']} ({codes.HOW_SIGNED[row['how']]})" for row in rows]) or "nobody"
