"""What the end of a practice morning can say of each part of it: well, or missed; why; next time.

The rule is a sentence of the league's own rules (`ledger.say.procedure`), or of the card.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ledger.say import procedure as say


@dataclass(frozen=True)
class Lesson:
    """One part of the morning. `scenes`: it is spoken of only once one of these was played, or with
    `at_once` as soon as it is missed.
    """

    code: str
    scenes: tuple[str, ...]
    well: str
    missed: str
    rule: str | Callable[[say.League], str]
    next: str
    at_once: bool = False


_BEAMS = ("first", "second", "plain", "slow", "over")
LESSONS = (
    Lesson(
        "scale",
        ("scale", "spare"),
        "The scale was checked and set to the limit before anyone stepped on it.",
        "The scale was called ready, or someone was weighed, before it was checked and set.",
        "The scale is leveled, zeroed, checked and set to the division’s limit; then nobody "
        "touches it.",
        "Check it when it was moved, and between two divisions.",
    ),
    Lesson(
        "early",
        _BEAMS,
        "You waited for the beam.",
        "You answered before the beam rested with that child on it.",
        "Wait for the beam. It decides once it rests.",
        "Keep your eyes on the beam until it rests. The line can wait.",
    ),
    Lesson(
        "wrong",
        _BEAMS,
        "Each answer that stands is what the beam said.",
        "An answer differs from what the beam said.",
        "Anywhere below the upper stop is OK; resting at the upper stop is OVER.",
        "Beam first, then the screen. A wrong tap is taken back with one button, then answered "
        "again.",
    ),
    Lesson(
        "again",
        ("pad",),
        "One weigh for everybody, even for the child who asked for another.",
        "A child was weighed again with less on.",
        say.attempts,
        "Say kindly: one weigh, just as you play. An over costs nobody a play.",
    ),
    Lesson(
        "number",
        ("fix",),
        "The wrong tap was taken back and written down for the right child.",
        "An answer still stands for a child who was not on the scale.",
        "A mistake is withdrawn, and both entries stay. A first mark counts all season.",
        "Press Take back as soon as you see it. Nobody minds.",
    ),
    Lesson(
        "tape",
        ("second", "over"),
        "Every child who was over has tape on the helmet, and nobody else.",
        "Tape was not written down, or went on the wrong helmet.",
        "A player who plays and does not carry wears the stripe, front and back.",
        "After OVER, put the tape on and press Tape is on before the next child steps up.",
    ),
    Lesson(
        "list",
        ("close",),
        "Everybody was weighed, or listed with a reason.",
        "Someone on the roster is not accounted for, or a line no longer fits.",
        "Every player on the roster is weighed or listed. Weighed after all: crossed off.",
        "Before you close, go through the numbers that the screen shows, one by one.",
    ),
    Lesson(
        "book",
        ("fix", "broken"),
        "The book has each child’s first mark, and only that.",
        "A mark in the book is missing or differs from the weigh.",
        say.BOOK,
        "Your answer goes in the book. So take a wrong answer back at once.",
    ),
    Lesson(
        "gear",
        ("gear", "shirt"),
        "A child whose gear was missing was listed for gear.",
        "A child whose gear was missing was not listed for gear.",
        "Every player is weighed in everything worn in the game. Gear missing: weigh later.",
        "Open the child, press Gear, then Still missing. It is crossed off with the weigh.",
    ),
    Lesson(
        "worn",
        ("kicker",),
        "All that is worn in the game was on the scale, the second shoe too.",
        "A shoe that is worn in the game was left beside the scale.",
        "Every player is weighed in everything worn in the game. Gear missing: weigh later.",
        "Ask: do you wear it in the game? Then it goes on the scale. A rule of your league comes "
        "first.",
    ),
    Lesson(
        "shoes",
        ("back",),
        "The metal under a shoe was noted, and stopped nobody.",
        "The metal under a shoe was not noted.",
        "Look at the soles: no metal. The head official decides about shoes.",
        "Open the child, press Gear, then Shoes. Tell the child’s own coach, and weigh as usual.",
    ),
    Lesson(
        "guard",
        ("seven",),
        "The mouth guard on the bench was noted, and stopped nobody.",
        "The mouth guard on the bench was not noted.",
        "A missing mouth guard: tell the child’s own coach and note it; it stops nobody.",
        "Open the child, press Gear, then Mouth guard. Weigh as usual.",
    ),
    Lesson(
        "roster",
        ("roster",),
        "A child on no roster was weighed like any other, and written down.",
        "A child on no roster was not written down.",
        "You disqualify nobody. Write down name and number; the office settles the roster.",
        "Type the number and the name under Other number, then weigh as usual.",
    ),
    Lesson(
        "third",
        ("third",),
        "No more weighmasters stood at the scale than the league allows; the president did not "
        "count.",
        "More weighmasters of one team stood at the scale than the league allows.",
        say.weighmasters,
        "Thank them, and ask them to count plays. Board members and presidents who coach neither "
        "team may stay.",
    ),
    Lesson(
        "injured",
        ("injured",),
        "The child who was listed as injured was crossed off, and weighed.",
        "A child was weighed and still stands on the list as injured.",
        "A player is not weighed while listed as injured: the coach is asked, away from the child.",
        "Answer the question on the child’s screen: Cross off.",
    ),
    Lesson(
        "coach",
        ("coach",),
        "The coach’s question was written down.",
        "The coach’s question was not written down.",
        "Nobody argues at the scale. Questions go to the site official, away from the child.",
        "Open Objection, read the sentence aloud once, write the question, call the next child.",
    ),
    Lesson(
        "kind",
        ("cry",),
        "The child who was not ready got time, and nothing was written.",
        "Something was written down about a child who was not ready.",
        "A child who is not ready steps aside, and may come at the end of the line.",
        "Press Not now. It writes nothing, and keeps the number in sight.",
    ),
    Lesson(
        "broken",
        ("broken",),
        "The broken scale was written down as out of use, and nobody was weighed on it.",
        "The broken scale was not written down as out of use, or was used again.",
        say.BOOK,
        "Press Scale trouble, then Scale is out of use. No mark: nobody guesses.",
    ),
    Lesson(
        "paper",
        ("paper",),
        "You went on with paper, and typed the sheet in.",
        "The sheet was not typed in.",
        "Paper is good at any time; it is typed in later, with its times.",
        "Press Paper, at the bottom of the screen, then Type in from paper.",
    ),
    Lesson(
        "signed",
        ("sign",),
        "You signed both lists.",
        "A list lacks your signature.",
        "A weighmaster of each side signs both lists, empty ones too.",
        "What is left shows each list that somebody has still to sign.",
    ),
    Lesson(
        "too soon",
        ("sign",),
        "You signed when the list was finished.",
        "A list was signed before it was finished.",
        "After a signature, only late players who weigh over are added to a list.",
        "Weigh everybody, close, then sign.",
        at_once=True,
    ),
    Lesson(
        "unread",
        ("sign",),
        "You took your time to read what you signed.",
        "You signed a few seconds after the list came up.",
        "Your signature says that you have seen exactly this list.",
        "Go down the list with a finger, line by line; then type the passphrase.",
        at_once=True,
    ),
    Lesson(
        "other side",
        ("other",),
        "The other side signed too, because you asked.",
        "The other side left without signing.",
        "A weighmaster of each side signs both lists, empty ones too.",
        "Look at What is left before anyone packs up.",
    ),
    Lesson(
        "late",
        ("late",),
        "The late child was weighed and crossed off, and plays in the second half.",
        "The late child was not weighed late, or still stands on the list.",
        say.late_players,
        "Open A late child, then the number; the page knows that it is late.",
    ),
)
UNTOLD = (
    "number_twice", "not_on_roster", "carrier_undecided", "plays_not_counted", "plays_short",
    "late_after_half", "coach_near_scale", "check_weight_off", "no_weighmaster", "half_not_stated",
    "weighed_out_of_turn",
)  # fmt: skip
"""Findings that are no slip here: facts that others settle, or what is not played."""
SHOWN_BY = {
    "scale_not_proved": "scale", "limit_wrong": "scale", "limit_moved": "scale",
    "weighed_too_often": "again",
    "noncarrier_not_striped": "tape", "carrier_striped": "tape",
    "unaccounted": "list", "noncarrier_not_listed": "list", "listed_over_weighed_ok": "list",
    "not_struck_off": "list", "strike_off_without_weigh": "list",
    "book_not_initialed": "book", "book_mark_differs": "book", "book_initialed_again": "book",
    "injured_but_weighed": "injured",
    "scale_used_after_out": "broken", "scale_out_missing": "broken",
    "list_changed_after_sign": "too soon", "weighed_after_close": "too soon",
    "stated_behind_signature": "too soon",
}  # fmt: skip
"""Which lesson a finding belongs to; `list_not_countersigned` goes by its side. Any other finding
is told by its own rule."""


def texts_of_lessons() -> Iterator[str]:
    """Every text that stands here, for the page's catalogue."""
    for one in LESSONS:
        yield from (one.well, one.missed, one.next)
        if isinstance(one.rule, str):
            yield one.rule
