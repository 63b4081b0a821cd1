"""The card for weighmasters. Its steps are common practice, no source, unless named here.

What its cautions rest on: a weigh-in is never a reason to withhold water, and two weeks of getting
used to heat (NATA youth football heat statement, read; the consequence is common sense); weight
classes push some children to unhealthy loss (American Academy of Pediatrics, clinical report 2017,
Pediatrics 140(3) e20171871, first page read); the tolerance of the check (NIST Handbook 44 (2023)
2.20 Table 6, quoted); signs of heat illness and 911 first (from memory).
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.papers.press.heads import Heads
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.cards import CallLine, CardPaper, card_sheet
from ledger.store.sqlite.store import SqliteStore
from tests.papers.pdf_checks import check_pdf
from tests.papers.samples import HEAD, HOSTILE, STAMP, pages, printed_sheet, squeeze
from tests.signed_season import GAME

PAPER = CardPaper(
    head=HEAD,
    limits=(("Ten", "105 lb"),),
    check_weight="10 lb",
    passes="9.5 to 10.5 lb",
    opens="The weigh-in opens at 8:30 AM CDT.",
    first_to_weigh="Either team may weigh first.",
    attempts="A player may be weighed twice.",
    declared_over="A player who is listed is weighed all the same.",
    late_players="A player who is weighed late does not play.",
    weighmasters="At most 3 weighmasters of a team at the scale.",
    minimum_plays="Every player gets at least 8 plays.",
    calls=(CallLine(role="Site official", about="Weigh-in (1st)"),),
)
COMMON_PRACTICE = (  # no source
    "On hard, level ground. Zero it.",
    "Coaches stay 50 feet away. Board members may be there if they do not coach.",
    "You weigh the opponents, not your own side.",
    "Each side brings its list: absent, injured, known to be over the limit.",
    "The opponents complete that list and keep it.",
    "hands you the helmet, complete with chin strap. Do not weigh it.",
    "hip pads (2), tail pad, knee pads (2), thigh pads (2), shoulder pads, pants, jersey",
    "(gloves, rib protector, collar, braces)",
    "Nothing under the helmet except what the league allows (faith, health).",
    "cleats to half an inch, molded or screwed in, no metal showing",
    "Mouth guard missing: tell the coach; it stops nobody.",
    "The beam settles below its stop: ok. It comes to rest against the stop: over.",
    "Afterwards nothing is changed but a kicking shoe.",
    "an inch wide, level, front and back, in a color that stands out, not along the seams",
    "Both sides sign both lists, even empty ones.",
    "The first half ends with the second quarter.",
    "The first mark in the book says who may carry.",
    "Questions go to them, away from the scale and from the player.",
)
CAUTIONS = (
    "Weighmasters weigh, list, tape and note. Officials and presidents decide.",
    "No fasting, no sweating it off, no going without water.",
    "Never keep anyone from water because of a weigh-in.",
    "That takes two weeks",
    "Never write down a weight. No photos, no posts, no remarks about a body.",
    "Repair nothing and fit nothing.",
    "The farther the limit is above it, the less it says there.",
    "call 911 first.",
)


def printed(paper: CardPaper, to: Path) -> list[str]:
    render_sheet(Sheet("card", {"paper": paper}, STAMP), to)
    check_pdf(to)
    return pages(to)


def test_a_card_has_two_sides(tmp_path: Path) -> None:
    front, back = printed(PAPER, tmp_path / "card.pdf")
    for said in COMMON_PRACTICE[:-1]:
        assert squeeze(said) in squeeze(front)
    for said in (COMMON_PRACTICE[-1], *CAUTIONS):
        assert squeeze(said) in squeeze(back)
    for said in (
        "105 lb Set the scale to this limit",
        "Put the 10 lb check weight on it: it passes from 9.5 to 10.5 lb.",
        PAPER.opens,
        PAPER.first_to_weigh,
        PAPER.attempts,
        PAPER.declared_over,
        PAPER.late_players,
        PAPER.weighmasters,
        PAPER.minimum_plays,
    ):
        assert squeeze(said) in squeeze(front)
    assert "Site official" in back
    assert "This card names no child" in front
    assert "Children’s names" not in front


def test_the_card_of_a_game_by_the_leagues_rules(signed: SqliteStore, tmp_path: Path) -> None:
    texts = printed_sheet(card_sheet(Heads(signed), "acorn-5a"), tmp_path / "card.pdf")
    assert len(texts) == 2
    front, back = (squeeze(text) for text in texts)
    for said in (
        "97 lb Set the scale",  # two pounds more since October
        "The weigh-in opens at 8:30 AM CDT.",
        "The visitors weigh first; the home team begins when they are done.",
        "A player is weighed once, in gear, and the first weigh counts.",
        "At most 2 weighmasters per team at the scale. No coach of either team.",
        "Every player who may play gets at least 10 plays, late players too.",
    ):
        assert squeeze(said) in front
    assert squeeze("kept until Jun 30, 2027 and then destroyed") in back
    order = [
        "Site official Weigh-in, plays, safety (1st)",
        "Head official Weigh-in, plays, safety (2nd)",
        "Division president Weigh-in, plays, safety (3rd); roster (2nd)",
        "Association president Roster (1st)",
        "Registrar Names, numbers, papers",
    ]
    places = [back.index(squeeze(said)) for said in order]
    assert places == sorted(places)


def test_the_card_of_the_league(signed: SqliteStore, tmp_path: Path) -> None:
    texts = printed_sheet(card_sheet(Heads(signed)), tmp_path / "card.pdf")
    assert len(texts) == 2
    assert squeeze("Acorn 95 lb; from Oct 1, 2026 on 97 lb Oak 125 lb") in squeeze(texts[0])
    assert "The weigh-in opens 30 minutes before kickoff." in " ".join(texts[0].split())


def test_no_official_and_no_child_is_named(signed: SqliteStore, tmp_path: Path) -> None:
    text = "".join(printed_sheet(card_sheet(Heads(signed), GAME), tmp_path / "card.pdf"))
    for name in ("Juniper-Ann", "Tumblethatch", "Wolkenfänger"):
        assert name not in text


def test_a_game_that_is_off(signed: SqliteStore, tmp_path: Path) -> None:
    text = printed_sheet(card_sheet(Heads(signed), "oak-3b"), tmp_path / "card.pdf")[0]
    assert "THIS GAME IS OFF." in text


@pytest.mark.parametrize("name", [HOSTILE[0], HOSTILE[5]])
def test_hostile_names(name: str, tmp_path: Path) -> None:
    head = replace(HEAD, league=name, division=name, site=name, home=name)
    text = squeeze("".join(printed(replace(PAPER, head=head), tmp_path / "card.pdf")))
    assert text.count(squeeze(name)) >= 4
