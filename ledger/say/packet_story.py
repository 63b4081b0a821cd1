"""The story on a packet's first page, line by line."""

from __future__ import annotations

from ledger.errors import count_of
from ledger.review.timeline import TimelineEntry
from ledger.say import codes, packets, words
from ledger.say.clock import local_clock, local_date


def day_and_clock(first: str, last: str, zone: str) -> str:
    """ "Sat, Sep 19, 2:38 PM CDT", "Sat, Sep 19, 2:38 to 3:24 PM CDT" for several statements.

    On this page the game's head has the year.
    """
    begin, end = local_clock(first, zone), local_clock(last, zone)
    if begin != end:
        clock, _, rest = begin.partition(" ")
        begin = f"{clock if end.endswith(f' {rest}') else begin} to {end}"
    return f"{local_date(first, zone).rpartition(', ')[0]}, {begin}"


def moment(shown: TimelineEntry, subject: str, zone: str) -> str:
    """A statement of the story: "No. 46: weighed late, not over the carrier limit"."""
    statement = shown.statement
    says = statement.says
    match statement.kind:
        case "case_open":
            return "The question was asked"
        case "plays":
            what = f"{count_of(says['count'], 'play')} in {codes.HALVES[says['half']]}"
        case "station":
            return f"The scale was set to {words.pounds(shown.data['limit_clb'])}"
        case "countersign":
            what = "the list was signed for the first time"
        case "ruling":
            ruled = packets.what(shown, zone).replace("Ruling", "Ruled", 1)
            return ruled.replace("the player", subject or "the player")
        case _:
            what = words.lower_first(packets.what(shown, zone)).replace(": ", ", ", 1)
    return f"{subject}: {what}" if subject else words.upper_first(what)


def limit(clb: int) -> str:
    """What belongs behind a line about how the scale was set."""
    return f" The limit for this game: {words.pounds(clb)}."


def moments(told: list[str], more: int) -> str:
    """Several statements of one kind in a line."""
    first, *others = told
    if first.startswith("Ruled"):
        line = ". ".join(told)
    else:
        rest = [one if ": " in one else words.lower_first(one) for one in others]  # a name stays
        line = "; ".join([first, *rest])
    return f"{line}; {more} more." if more else f"{line}."
