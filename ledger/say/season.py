"""What the season summary tells a board: the parts of the procedure, and what to do about each.

The advice is common practice, no source; a league's own rules come first.
"""

from __future__ import annotations

from ledger.errors import count_of
from ledger.say.codes import Codes

AREAS = Codes(
    "part of the procedure",
    plays="Plays",
    scale="The scale",
    people="The people at the scale",
    order="The order of the weigh-in",
    book="The book",
    list="The list",
    stripes="Stripes",
    late="Late weigh-ins",
    signatures="Signatures",
    rosters="Rosters",
    reviews="Questions and protests",
    entries="Entries",
)
ADVICE = Codes(
    "part of the procedure",
    plays="Name a counter for each side before kickoff. At the half, tell each coach which numbers "
    "still need plays.",
    scale="Read the check weight before the first child. Set the limit once. Say at once when the "
    "scale is out.",
    people="Name trained weighmasters for each team before the season, no coach of either side "
    "among them.",
    order="Open on time. Let the first team finish. Weigh each child as often as your rule says.",
    book="Let the other side mark the book at the scale, right after a child’s first weigh.",
    list="Read the list against the roster before you sign: each child is weighed, or listed with "
    "a reason.",
    stripes="Tape the helmet before the next child steps up. Check the tape against the list.",
    late="Keep the list at hand after the close. Weigh late children before the half, and write "
    "down when it ends.",
    signatures="Sign before anyone leaves: two sides, two lists, four signatures.",
    rosters="Settle rosters and numbers with the registrar in the week before.",
    reviews="Tell every team who answers which question, and by when.",
    entries="Enter each step as it happens. Let its author correct it.",
)


TOO_FEW = "{} got too few plays."
CHANGED_OTHERWISE = "changed in another way, such as by a ruling or a later entry"
"""Lists that are not as signed. Rules find fewer: a ruling breaks none."""


def scale_passed(after_failure: int) -> str:
    """The sentence on checks of the scale, with braces for how many weigh-ins."""
    many = "one" if after_failure == 1 else f"{after_failure:,}"
    only = f", in {many} only after a failed one" * bool(after_failure)
    return f"In {{}} weigh-ins the scale passed a check{only}."


def times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count) or count_of(count, "time")
