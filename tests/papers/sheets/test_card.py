"""The card for weighmasters. Its steps are common practice, no source, unless named here.

What its cautions rest on: a weigh-in is never a reason to withhold water, and two weeks of getting
used to heat (NATA youth football heat statement, read; the consequence is common sense); weight
classes push some children to unhealthy loss (American Academy of Pediatrics, clinical report 2017,
Pediatrics 140(3) e20171871, first page read); the tolerance of the check (NIST Handbook 44 (2023)
2.20 Table 6, quoted); signs of heat illness and 911 first (from memory).
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.papers.press.compose import compose
from ledger.papers.press.heads import Heads
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.callers import CallLine
from ledger.papers.sheets.cards import CardPaper, card_sheet
from ledger.papers.sheets.source import LeagueSource
from ledger.store.sqlite.store import SqliteStore
from tests.papers.pdf_checks import check_pdf
from tests.papers.samples import HEAD, HOSTILE, NO_FONT, STAMP, pages, printed_sheet, squeeze
from tests.signed_season import GAME
from tests.tiny import TEXTS, day, says, tiny_store, write_folder

PAPER = CardPaper(
    head=HEAD,
    limits=(("Ten", "105 lb"),),
    limit_changes="",
    check_weight="10 lb",
    passes="9.5 to 10.5 lb",
    opens="The weigh-in opens at 8:30 AM CDT.",
    first_to_weigh="Either team may be weighed first.",
    attempts="A player may be weighed twice.",
    declared_over="A player who is listed is weighed all the same.",
    declines="A child may say no to it.",
    late_players="A player who is weighed late does not play.",
    weighmasters="At most 3 weighmasters of a team at the scale.",
    minimum_plays="Every player gets at least 8 plays.",
    asked_first="the field official",
    calls=(CallLine(role="Site official", about="Weigh-in (1st)", names=("A. Weigher",)),),
    limit_kg="47.6 kg",
)
STEPS = (  # no source
    "1. Set the scale Firm, level ground. Zero it until the beam floats.",
    "Put on the 10 lb check weight. It must read 9.5 to 10.5 lb.",
    "Set the limit, then leave it. Write the reading and the limit on the list.",
    "2. Swap lists and books",
    "Already listed: absent, injured, known to be over the limit.",
    "3. One player at a time Says name and number. Hands you the helmet. Shows both soles.",
    "4. Weigh Wait for the beam. Below its upper stop: ok. Resting at the stop: over.",
    "5. Write it down ok or over, never a weight. Do not call it out.",
    "Player’s own first game in the division: mark the book, initial it.",
    "Over: on the list, and tape on the helmet, front and back.",
    "6. Close and sign",
    "Both sides sign both lists. Keep the opponents’ list. Give their book back.",
    "You disqualify nobody.",
    "Anyone may drink at any time.",
    "call 911 first",
    "Tell 911 we are at: Field 2, Imaginary Park, address",
)
DETAILS = (
    "No coach of either team.",
    "Nothing on the head except what the league allows (faith, health).",
    "Mouth guard missing: tell the coach; it stops nobody.",
    "A mark never changes.",
    "In later weeks, open the book only for a player with no mark yet, or if the scale fails.",
    "The first half ends with the second quarter.",
    "Write down the time, and who came to be weighed.",
    "The first mark in the book says who may carry.",
    "No mark: do not decide at the scale; ask the field official.",
    "A child who cries or is afraid steps aside. Write nothing. Offer the end of the line.",
    "No fasting, no sweating it off, no going without water.",
    "Never keep anyone from water because of a weigh-in.",
    "getting used to it takes two weeks",
    "No photos, no posts, no remarks about a body.",
    "Nobody steps off the scale to take gear off. Do not repair or adjust gear.",
    "If a player listed as absent or for incomplete gear is weighed, strike that entry off.",
    "The weighmaster holding that team’s list weighs them.",
    "A light check weight says little about a high limit.",
)
USUAL = (
    "Coaches keep their distance.",
    "The player wears what will be worn in the game",
    "Look at the soles: no metal showing.",
    "Tape across the helmet, front and back, off the seams, in a color that stands out.",
)


def printed(paper: CardPaper, to: Path) -> list[str]:
    render_sheet(Sheet("card", {"paper": paper}, STAMP), to)
    check_pdf(to)
    return pages(to)


def test_steps_in_front_and_details_behind(tmp_path: Path) -> None:
    front, back = (squeeze(text) for text in printed(PAPER, tmp_path / "card.pdf"))
    for said in (
        *STEPS,
        "105 lb (47.6 kg) Set the scale to this limit",
        PAPER.opens,
        PAPER.attempts,
    ):
        assert squeeze(said) in front
    rules = (PAPER.declared_over, PAPER.late_players, PAPER.weighmasters, PAPER.minimum_plays)
    for said in (*DETAILS, *rules, PAPER.declines, "Site official Weigh-in (1st) A. Weigher"):
        assert squeeze(said) in back
    assert squeeze("This card names no child") in front
    assert squeeze("Children’s names") not in front


LINE = "What the league wrote about this, in a sentence that is as long as most of them ever are."


@pytest.mark.parametrize("each", [1, 2, 3])
def test_the_leagues_own_lines_make_no_third_page(
    signed: SqliteStore, tmp_path: Path, each: int
) -> None:
    own = dict.fromkeys(("gear", "shoes", "stripe", "distance"), (LINE,) * each)
    paper = card_sheet(Heads(signed)).context["paper"]
    rows = each * len(own) * 2
    long = replace(paper, **own, is_full=rows > 9)
    front, back = printed(long, tmp_path / "card.pdf")
    assert squeeze(LINE) not in squeeze(front)
    assert squeeze(back).count(squeeze(LINE)) == each * len(own)


@pytest.mark.parametrize(("lines", "is_full"), [(1, False), (3, True)])
def test_the_back_is_set_closer_if_the_league_has_many_lines(
    tmp_path: Path, lines: int, is_full: bool
) -> None:
    said = "".join(f"{what} = {[LINE] * lines}\n" for what in ("gear", "shoes"))
    folder = write_folder(tmp_path / "season", league=f"{TEXTS['league']}[card]\n{said}")
    with tiny_store(folder) as store:
        assert card_sheet(Heads(store)).context["paper"].is_full is is_full


def test_numbers_on_the_card_are_the_leagues() -> None:
    """Without [card] in league.toml the card has common practice, and no number of its own."""
    usual = compose("card", {"paper": PAPER}, stamp=STAMP)
    for said in USUAL:
        assert said in usual
    assert not re.search(r"feet|\bft\b|\binch|half an", usual)
    own = {"distance": ("3 yards.",), "gear": ("Pads & pants.",), "shoes": ("No spikes.",)}
    html = compose("card", {"paper": replace(PAPER, **own, stripe=("A hand wide.",))}, stamp=STAMP)
    for said in ("3 yards.", "Pads &amp; pants.", "No spikes.", "A hand wide."):
        assert f"<li>{said}</li>" in html
    assert not [said for said in USUAL if said in html]


def test_the_card_of_a_game_by_the_leagues_rules(signed: SqliteStore, tmp_path: Path) -> None:
    sheet = card_sheet(Heads(signed), "acorn-5a")
    texts = printed_sheet(sheet, tmp_path / "card.pdf")
    assert len(texts) == 2
    assert sheet.context["paper"].opens == "The weigh-in opens at 8:30\u00a0AM\u00a0CDT."
    front, back = (squeeze(text) for text in texts)
    for said in (
        "97 lb (44.0 kg) Set the scale to this limit",
        "97 lb since Oct 1, 2026 (before: 95 lb).",  # two pounds more
        "The weigh-in opens at 8:30 AM CDT.",
        "Visiting players are weighed first; home players come next.",
        "A player is weighed once, in gear, and the first weigh counts.",
    ):
        assert squeeze(said) in front
    for said in (
        "At most 2 weighmasters per team at the scale. No coach of either team.",
        "Coaches stay 50 ft away from the scale.",
        "Cleats half an inch at most, no metal showing.",
        "Board members may stand there, unless they coach one of these teams.",
        "A child may say no. Do not press. List for “another reason”. Not weighed: does not play.",
        "No mark: do not decide at the scale; ask the site official.",
        "Tape one inch wide and level, front and back, in a color that stands out.",
        "Every player who may play is due at least 10 plays, late players too, unless excused.",
        "Keep papers with names with the game papers until Jun 30, 2027.",
        "Then return or destroy them, as your league says.",
    ):
        assert squeeze(said) in back
    order = [
        "Site official Weigh-in, plays, safety (1st)",
        "Head official Weigh-in, plays, safety (2nd)",
        "Division president Weigh-in, plays, safety (3rd); roster (2nd)",
        "Association president Roster (1st)",
        "Registrar Names, numbers, papers Godfrey Qamarwarda",
    ]
    places = [back.index(squeeze(said)) for said in order]
    assert places == sorted(places)


def test_a_limit_that_has_not_changed_yet_says_nothing(signed: SqliteStore) -> None:
    assert card_sheet(Heads(signed), GAME).context["paper"].limit_changes == ""


def test_the_card_of_the_league(signed: SqliteStore, tmp_path: Path) -> None:
    texts = printed_sheet(card_sheet(Heads(signed)), tmp_path / "card.pdf")
    assert len(texts) == 2
    assert squeeze("Acorn 97 lb (44.0 kg) Oak 127 lb (57.6 kg) Since Oct 1, 2026.") in squeeze(
        texts[0]
    )
    assert "The weigh-in opens 30 minutes before kickoff." in " ".join(texts[0].split())


def test_who_to_call_is_named_if_known(tmp_path: Path) -> None:
    """Who is appointed for one game comes before the others there; too many are not told."""
    crowd = "".join(f"head-{n},Invented Head {n},head_official,\n" for n in range(7))
    names = {
        "officials": TEXTS["officials"].replace("Per Hollowell", NO_FONT) + crowd,
        "day": day(
            says("appoint", to="site_official", by="rg", value="ha", name="Bo Fernley", game="g1")
        ),
    }
    with tiny_store(write_folder(tmp_path / "season", **names)) as store:
        for game, site_official in (("g1", "Bo Fernley"), ("g2", "Ada Whinberry")):
            calls = card_sheet(Heads(store), game).context["paper"].calls
            assert {call.role: call.names for call in calls} == {
                "Site official": (site_official,),
                "Head official": (),
                "Division president": ("Eve Merriweather",),
                "Association president": ("ap (name on the screen only)",),
                "Registrar": ("Kit Underbough",),
            }


def test_only_those_who_were_confirmed_are_to_be_called(signed: SqliteStore) -> None:
    """In oak-6a a board member began as head official; nobody confirmed it."""
    calls = card_sheet(Heads(signed), "oak-6a").context["paper"].calls
    (heads,) = (call.names for call in calls if call.role == "Head official")
    assert heads == (
        "Elspeth Cricketlamp",
        "Jorge Cascabelina",
        "Ravindra Byeolnamu",
        "Tabitha Steinkløver",
    )


def test_a_league_in_which_a_child_may_be_listed_as_over_without_the_scale(tmp_path: Path) -> None:
    own = "[weigh_in]\ndeclared_over_may_skip_scale = true\n"
    with tiny_store(write_folder(tmp_path / "season", league=TEXTS["league"] + own)) as store:
        paper = card_sheet(Heads(store)).context["paper"]
    assert paper.declines == (
        "A child may say no. Do not press. List as “over” if the child wants that: plays, does not"
        " carry. Else list for “another reason”: does not play."
    )


def test_no_child_is_named(signed: SqliteStore, tmp_path: Path) -> None:
    text = "".join(printed_sheet(card_sheet(Heads(signed), GAME), tmp_path / "card.pdf"))
    assert "Wolkenfänger" not in text


def test_a_game_that_is_off(signed: SqliteStore, tmp_path: Path) -> None:
    """It had two boxes, one of which said to set the scale, and a third page."""
    texts = printed_sheet(card_sheet(Heads(signed), "oak-3b"), tmp_path / "card.pdf")
    assert "THIS GAME IS OFF." in texts[0]
    assert "Set the scale to this limit" not in texts[0]
    assert len(texts) == 2


def test_two_pages_for_a_site_with_a_long_name(tmp_path: Path) -> None:
    """In a game that was moved, after the limit has changed."""
    site = "Memorial Athletic Complex, Field 2"
    head = replace(HEAD, site=site, kickoff="Sat, Oct 3, 2026, 2:30 PM CDT (was 9:00\u00a0AM)")
    paper = replace(PAPER, head=head, limit_changes="105 lb since Oct 1, 2026 (before: 103 lb).")
    front, _ = printed(paper, tmp_path / "card.pdf")
    assert squeeze(f"we are at: {site}, address") in squeeze(front)


@pytest.mark.parametrize("name", [HOSTILE[0], HOSTILE[5]])
def test_hostile_names(name: str, tmp_path: Path) -> None:
    head = replace(HEAD, league=name, division=name, site=name, home=name)
    calls = (CallLine(role="Site official", about="", names=(name,)),)
    paper = replace(PAPER, head=head, calls=calls, gear=(name,), stripe=(name,))
    text = squeeze("".join(printed(paper, tmp_path / "card.pdf")))
    assert text.count(squeeze(name)) >= 7


def test_a_ledger_from_before_there_were_cards(tmp_path: Path) -> None:
    with tiny_store(write_folder(tmp_path / "season")) as store:
        (league,) = [one.event for one in store.events(kind=["league"])]
        older = {key: value for key, value in league.data.items() if key != "card"}
        source = LeagueSource(Heads(store), [replace(league, data=older)])
        assert source.league["card"] == {"gear": [], "shoes": [], "stripe": [], "distance": []}
