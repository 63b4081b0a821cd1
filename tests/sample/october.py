"""What went wrong in October, game by game: the clean game, then its changes."""

from __future__ import annotations

from tests.sample.office import SHIRT, TWICE
from tests.sample.people import DIVISIONS, NAMES
from tests.sample.saturday import Game
from tests.sample.schedule import Fixture
from tests.sample.sheet import seconds
from tests.sample.world import Pins, Plan, World

# A parent who weighs in acorn-5b and holds no other post.
HELPER = "dormice-helper"
# Kinds of the weigh-in and of the plays that look a child up by number.
PER_CHILD = ("list", "weigh", "late_weigh", "initial", "strike_off", "stripe", "plays", "excuse")


def acorn_5a(world: World, fixture: Fixture) -> Game:
    """The scale still stood at September's limit; one child was weighed again after that."""
    game = Game(world, fixture, Plan(pins={"newts": {"here": (12, 14)}}))
    old = f"{DIVISIONS[0].carrier_limit_lb}.00"
    station = game.one("station")
    new = station.columns["limit"]
    station.set(limit=old)
    at = game.one("weigh", team="newts", number=14).at - seconds(5)
    game.delay(at, fixture.kickoff, seconds(55))
    keeper = game.keepers("newts")[0]
    game.add("station", at, keeper, reading="10.00", limit=new, note="October: two pounds more")
    twelve = {"team": "newts", "number": 12}
    first = game.one("weigh", **twelve)
    first.set(value="over")
    game.drop("strike_off", **twelve)
    game.add("stripe", first.at + seconds(6), first.columns["by"], **twelve)
    game.add("weigh", at + seconds(26), keeper, **twelve, value="ok")
    _old_limit(game)
    return game


def _old_limit(game: Game) -> None:
    case = "old-limit"
    about = {"team": "newts", "player": game.child("newts", 12)}
    at = game.after(-6)
    note = "Weighed over at the old limit, ok at the right one. One weigh counts, so we ask."
    game.add("case_open", at, "quokkas-wm1", case=case, reason="weigh", **about, note=note)
    allowed = {"value": "upheld", "may_carry": "yes"}
    note = "The first weigh was on a scale set wrong. He may carry; the tape comes off."
    game.add("ruling", at + seconds(120), "head-2", case=case, **about, **allowed, note=note)
    game.say("case_close", at + seconds(130), by="head-2", case=case)


def acorn_5b(world: World, fixture: Fixture) -> Game:
    """Somebody new at the table for this game; a president rules who has no say in it."""
    NAMES[HELPER] = "Junia Cobblewren"
    pins: Pins = {"dormice": {"here": (13, 43)}}
    stand = {"dormice": ("dormice-wm2", HELPER)}
    game = Game(world, fixture, Plan(pins=pins, fixed={("dormice", 13): (4, 0)}, stand=stand))
    post = {"value": HELPER, "name": NAMES[HELPER], "to": "weighmaster", "team": "dormice"}
    note = "their second weighmaster could not come"
    game.add("appoint", game.after(-44), "site-mossbottom", **post, note=note)
    case = "second-opinion"
    about = {"team": "dormice", "player": game.child("dormice", 43)}
    at = game.after(-7)
    note = "The family asks for a second weigh without the rib protector."
    game.add("case_open", at, "dormice-coach1", case=case, reason="weigh", **about, note=note)
    kind = {"case": case, "value": "upheld", "may_carry": "yes"}
    note = "Be generous, it is his last season."
    game.add("ruling", at + seconds(80), "quillowick-president", **kind, **about, note=note)
    note = "One weigh, as equipped. The association has no say in this one."
    game.add("ruling", at + seconds(200), "head-1", case=case, value="denied", note=note)
    game.say("case_close", at + seconds(210), by="head-1", case=case)
    half = game.one("half", half=1).at
    benched = {"team": "dormice", "number": 13, "reason": "discipline"}
    game.add("excuse", half + seconds(240), "dormice-coach1", **benched)
    return game


def oak_5a(world: World, fixture: Fixture) -> Game:
    """Three were weighed before the check was written down; a list changed after it was signed."""
    game = Game(world, fixture, Plan(pins={"wombats": {"unseen": (4,)}}))
    third = game.find("weigh", team="pangolins")[2].at
    game.one("station").at = third + seconds(18)
    signed = game.find("countersign")[-1].at
    absent = {"team": "wombats", "number": 4, "reason": "absent"}
    game.add("list", signed + seconds(90), game.keepers("wombats")[0], **absent)
    return game


def oak_5b(world: World, fixture: Fixture) -> Game:
    """One listed injured was weighed and stayed listed; one listed over was never weighed."""
    pins: Pins = {"capybaras": {"mended": (22,)}, "snapdragons": {"skips": (36,)}}
    return Game(world, fixture, Plan(pins=pins, fixed={("snapdragons", 36): (8, 7)}))


def acorn_6a(world: World, fixture: Fixture) -> Game:
    """The weigh-in opened early; two counters do not agree about two children."""
    pins: Pins = {"dormice": {"here": (19, 28)}}
    game = Game(world, fixture, Plan(pins=pins, opens_s=2180))
    half = game.one("half", half=1).at
    for index, (number, more) in enumerate(((19, 3), (28, -2))):
        about = {"team": "dormice", "number": number, "half": 1}
        theirs = int(game.find("plays", **about)[-1].columns["count"])
        at = half + seconds(4 + 4 * index)
        game.add("plays", at, "dormice-pc2", **about, count=theirs + more)
    return game


def acorn_6b(world: World, fixture: Fixture) -> Game:
    """A late child not crossed off, a coach near the scale, two short of their plays."""
    fixed = {("marmots", 58): (4, 4), ("quokkas", 9): (2, 5)}
    pins: Pins = {"marmots": {"late": (30,), "here": (58,)}, "quokkas": {"here": (9,)}}
    game = Game(world, fixture, Plan(pins=pins, fixed=fixed))
    game.drop("strike_off", team="marmots", number=30)
    near = {"team": "quokkas", "reason": "coach_near_scale"}
    game.add("concern", game.after(-15), "site-quillowick", **near)
    conduct = {"reason": "conduct", "note": "loud words between two parents; both shook hands"}
    game.add("concern", game.after(70), "site-quillowick", **conduct)
    return game


def oak_6a(world: World, fixture: Fixture) -> Game:
    """The scale came late and nobody wrote that down; a site official appoints a head official."""
    first = (3, 5, 7, 10, 12)
    pins: Pins = {"capybaras": {"here": first}, "pangolins": {"late": (25,)}}
    game = Game(world, fixture, Plan(pins=pins))
    for number in first:
        game.one("weigh", team="capybaras", number=number).set(value="no_scale")
    last = game.one("weigh", team="capybaras", number=first[-1]).at
    game.delay(last + seconds(18), fixture.kickoff, seconds(120))
    station = game.one("station")
    station.at = last + seconds(100)
    station.set(note="the scale was in the other car")
    game.drop("half", half=1)
    _stand_in(game)
    return game


def _stand_in(game: Game) -> None:
    """A site official may not appoint a head official: neither the post nor the ruling counts."""
    case = "late-scale"
    about = {"team": "capybaras", "player": game.child("capybaras", 12)}
    post = {"value": "board-1", "to": "head_official"}
    note = "Our head official is still on the road."
    game.add("appoint", game.after(-14), "site-glimmerfen", **post, note=note)
    note = "He was at the scale before the scale was. May he step on it now?"
    by = "capybaras-coach1"
    game.add("case_open", game.after(-12), by, case=case, reason="weigh", **about, note=note)
    allowed = {"value": "upheld", "may_carry": "yes"}
    note = "He came on time. Let him carry."
    game.add("ruling", game.after(-9), "board-1", case=case, **about, **allowed, note=note)
    head = game.one("half", half=2).columns["by"]
    note = "I am here now. He came to the scale once, and the book says over."
    game.add("ruling", game.after(-2), head, case=case, value="denied", note=note)
    game.say("case_close", game.after(-1), by=head, case=case)


def oak_6b(world: World, fixture: Fixture) -> Game:
    """One weighed after the close, overtime, and a slip that the site official withdrew."""
    pins: Pins = {"snapdragons": {"arrives": (30,), "here": (45,)}, "wombats": {"here": (72,)}}
    fixed = {("wombats", 72): (6, 0)}
    game = Game(world, fixture, Plan(pins=pins, fixed=fixed, overtime=8))
    after = game.find("countersign")[-1].at + seconds(40)
    game.one("weigh", team="snapdragons", number=30).at = after
    game.one("strike_off", team="snapdragons", number=30).at = after + seconds(5)
    right = game.one("plays", team="snapdragons", number=45, half=3)
    slip = {**right.columns, "count": "77", "ref": "oak-6b-slip"}
    game.say("plays", right.at - seconds(2), **slip)
    why = "there were eight plays in overtime"
    undo = {"target": "oak-6b-slip", "reason": why}
    game.say("withdraw", right.at + seconds(90), by="site-quillowick", **undo)
    left = {"team": "wombats", "number": 72, "reason": "left"}
    game.add("excuse", game.one("half", half=1).at + seconds(200), "wombats-coach1", **left)
    _one_shirt_twice(game)
    return game


def _one_shirt_twice(game: Game) -> None:
    """One of the marmots stands on this roster too, by the office's slip, in a shirt that is worn.

    A number that two children have finds neither, so lines about them give the id.
    """
    own = game.child("snapdragons", SHIRT)
    for line in game.find(*PER_CHILD, team="snapdragons", number=SHIRT):
        del line.columns["number"]
        line.set(player=own)
    other = game.world.rosters["marmots"][TWICE].id
    about = {"team": "snapdragons", "player": other, "reason": "other"}
    note = "plays for the marmots; we have told the registrar"
    game.add("list", game.after(-43), "snapdragons-coach1", **about, note=note)


def acorn_7b(world: World, fixture: Fixture) -> Game:
    """Short of one play, until a sheet turns up after the season was closed."""
    pins: Pins = {"dormice": {"here": (47,)}}
    return Game(world, fixture, Plan(pins=pins, fixed={("dormice", 47): (5, 4)}))


def oak_7a(world: World, fixture: Fixture) -> Game:
    """Released by the coach for the second half, at the family's wish."""
    pins: Pins = {"pangolins": {"here": (35,)}}
    game = Game(world, fixture, Plan(pins=pins, fixed={("pangolins", 35): (7, 0)}))
    released = {"team": "pangolins", "number": 35, "reason": "other"}
    at = game.one("half", half=1).at + seconds(150)
    game.add("excuse", at, "pangolins-coach1", **released, note="asked to watch with grandmother")
    return game


def oak_7b(world: World, fixture: Fixture) -> Game:
    """Short of two plays on the last day."""
    pins: Pins = {"wombats": {"here": (24,)}}
    return Game(world, fixture, Plan(pins=pins, fixed={("wombats", 24): (4, 4)}))
