"""What went wrong in September, game by game: the clean game, then its changes."""

from __future__ import annotations

from datetime import datetime

from tests.sample.people import initials
from tests.sample.rosters import WITHOUT_A_TEAM
from tests.sample.saturday import Game
from tests.sample.schedule import Fixture
from tests.sample.sheet import seconds
from tests.sample.world import Pins, Plan, World


def acorn_1a(world: World, fixture: Fixture) -> Game:
    """A clean first game: every child gets the first mark in the book."""
    away: Pins = {"marmots": {"absent": (26,), "injured": (22,)}, "newts": {"absent": (31,)}}
    return Game(world, fixture, Plan(calm=True, pins=away))


def acorn_1b(world: World, fixture: Fixture) -> Game:
    """Two marks forgotten, and one written down wrong."""
    pins: Pins = {"dormice": {"late": (51,), "absent": (43,)}}
    game = Game(world, fixture, Plan(calm=True, pins=pins))
    for number in (14, 27):
        game.drop("initial", team="quokkas", number=number)
    game.one("initial", team="quokkas", number=21).set(value="over")
    return game


def oak_1a(world: World, fixture: Fixture) -> Game:
    """The check weight reads off; the scale is levelled and checked again before anybody."""
    game = Game(world, fixture, Plan(pins={"snapdragons": {"absent": (17,)}}))
    good = game.one("station")
    first = {"reading": "11.25", "limit": good.columns["limit"]}
    off = good.at - seconds(95)
    game.add("station", off, good.columns["by"], **first, note="one foot in a molehill; levelled")
    return game


def oak_1b(world: World, fixture: Fixture) -> Game:
    """Two late before the half, two after it; for one of these the clock was in question."""
    late = {"late": (17, 39), "after_half": (49, 73)}
    pins: Pins = {"capybaras": late, "wombats": {"here": (20,)}}
    fixed = {("capybaras", 49): (0, 11), ("wombats", 20): (5, 0)}
    game = Game(world, fixture, Plan(pins=pins, fixed=fixed))
    game.drop("plays", team="capybaras", number=49, half=1)
    half = game.one("half", half=1).at
    case = "clock-at-half"
    about = {"team": "capybaras", "player": game.child("capybaras", 49)}
    at = half + seconds(430)
    note = "She was at the scale when the whistle went and waited for the weighmaster."
    game.add("case_open", at, "capybaras-coach1", case=case, reason="weigh", **about, note=note)
    note = "I called her over after the second whistle, that is true."
    game.say("case_statement", at + seconds(60), by="wombats-wm2", case=case, note=note)
    allowed = {"value": "decided", "may_play": "second_half"}
    site = "site-quillowick"
    game.add("ruling", at + seconds(150), site, case=case, **about, **allowed)
    game.say("case_close", at + seconds(170), by=site, case=case)
    hurt = {"team": "wombats", "number": 20, "reason": "injured"}
    game.add("excuse", half + seconds(200), "wombats-coach2", **hurt, note="twisted ankle")
    return game


def acorn_2a(world: World, fixture: Fixture) -> Game:
    """The scale breaks: the book decides, and three children have no mark in it yet."""
    game = Game(world, fixture, Plan(calm=True, pins={"newts": {"absent": (31,)}}))
    fourteen = game.one("weigh", team="quokkas", number=14).at
    broken = fourteen - seconds(10)
    keeper = game.keepers("quokkas")[0]
    game.add("scale_out", broken, keeper, reason="the beam came down and does not settle any more")
    for line in game.find("weigh"):
        if line.at > broken:
            line.set(value="no_scale")
    unmarked = [("quokkas", 14), ("quokkas", 27), ("newts", 62)]
    for team, number in unmarked:
        game.drop("initial", team=team, number=number)
    weighed = game.one("weigh", team="quokkas", number=21).at
    about = {"team": "quokkas", "number": 21}
    game.add("list", weighed + seconds(6), keeper, **about, reason="over")
    game.add("stripe", weighed + seconds(12), keeper, **about)
    _wrong_mark(game)
    return game


def _wrong_mark(game: Game) -> None:
    """The mark of acorn-1b was wrong; the site official has last week's sheet and decides."""
    case = "wrong-mark"
    about = {"team": "quokkas", "player": game.child("quokkas", 21)}
    at = game.after(-7)
    note = "The book says over, the sheet of the first game says ok. Same child, same hand."
    game.add("case_open", at, "quokkas-wm1", case=case, reason="weigh", **about, note=note)
    site = "site-glimmerfen"
    allowed = {"value": "upheld", "may_carry": "yes"}
    note = "Read both. The tape comes off; the listing stays as written."
    game.add("ruling", at + seconds(140), site, case=case, **about, **allowed, note=note)
    game.say("case_close", at + seconds(155), by=site, case=case)


def acorn_2b(world: World, fixture: Fixture) -> Game:
    """Twins in each other's shirts, a child on no roster, one forgotten, one crossed off early."""
    pins: Pins = {"dormice": {"here": (8, 18), "unseen": (11,)}, "marmots": {"arrives": (15,)}}
    game = Game(world, fixture, Plan(pins=pins, fixed={("dormice", 30): (9, 12)}))
    keeper = game.keepers("dormice")[0]
    _swap_twins(game, keeper)
    _unlisted(game, keeper)
    early = game.one("strike_off", team="marmots", number=15)
    early.at -= seconds(300)
    early.set(note="his father's van is on the car park")
    case = "mixed-numbers"
    note = "8 is on their list as over and weighed ok, 18 the other way round. 30 is on no roster."
    opened = {"case": case, "reason": "roster", "team": "dormice"}
    game.add("case_open", game.after(-6), keeper, **opened, note=note)
    refer = {"case": case, "to": "association_president"}
    game.say("case_refer", game.after(-5), by="site-nettlehop", **refer)
    return game


def _swap_twins(game: Game, keeper: str) -> None:
    """8 wore 18 and 18 wore 8; the weighmasters wrote down the shirts."""
    game.one("weigh", team="dormice", number=8).set(value="ok")
    game.drop("stripe", team="dormice", number=8)
    weighed = game.one("weigh", team="dormice", number=18)
    weighed.set(value="over")
    about = {"team": "dormice", "number": 18}
    game.add("list", weighed.at + seconds(5), keeper, **about, reason="over")
    game.add("stripe", weighed.at + seconds(10), keeper, **about)


def _unlisted(game: Game, keeper: str) -> None:
    name = WITHOUT_A_TEAM[0]
    last = game.find("weigh", team="dormice")[-1].at
    about = {"team": "dormice", "number": 30, "name": name}
    game.add("weigh", last + seconds(14), keeper, **about, value="ok", note="not on the sheet")
    *earlier, final = game.find("plays", team="dormice", number=30)
    for line in earlier:
        line.set(name=name)
    del final.columns["number"]
    final.set(player=f"unlisted-{game.fixture.id}-dormice-30")


def oak_2a(world: World, fixture: Fixture) -> Game:
    """Three at the scale for one team, a page of the book initialed twice, a coach too near."""
    three = ("wombats-wm1", "wombats-wm2", "wombats-wm3")
    pins: Pins = {"pangolins": {"here": (4, 7, 12, 41)}}
    fixed = {("pangolins", 41): (3, 4)}
    game = Game(world, fixture, Plan(pins=pins, stand={"wombats": three}, fixed=fixed))
    for number in (4, 7, 12):
        weighed = game.one("weigh", team="pangolins", number=number).at
        mark = {"value": "ok", "initials": initials(three[2])}
        about = {"team": "pangolins", "number": number}
        game.add("initial", weighed + seconds(5), three[2], **about, **mark)
    near = {"team": "pangolins", "reason": "coach_near_scale"}
    note = "came over to ask about a thigh pad; went back when asked"
    game.add("concern", game.after(-19), "site-glimmerfen", **near, note=note)
    return game


def oak_2b(world: World, fixture: Fixture) -> Game:
    """A mark by the child's own side, and a team whose plays nobody counted."""
    pins: Pins = {"snapdragons": {"here": (17,)}}
    game = Game(world, fixture, Plan(pins=pins, uncounted=("snapdragons",)))
    own = game.stand["snapdragons"][0]
    game.one("initial", team="snapdragons", number=17).set(by=own, initials=initials(own))
    return game


def acorn_3a(world: World, fixture: Fixture) -> Game:
    """A coach helps out at the scale, two weighed by their own side, the sheet written up late."""
    stand = {"dormice": ("dormice-wm1", "dormice-coach2")}
    pins: Pins = {"dormice": {"here": (6, 10)}, "newts": {"here": (6,)}}
    game = Game(world, fixture, Plan(pins=pins, stand=stand))
    for number in (6, 10):
        game.one("weigh", team="dormice", number=number).set(by="dormice-wm1")
    paper = [*game.find("snaps", half=2), *game.find("half", half=2)]
    for line in paper:
        line.entered = line.at + seconds(3300)
        line.set(note="from the paper sheet; the tablet was flat")
    return game


def acorn_3b(world: World, fixture: Fixture) -> Game:
    """Moved to the afternoon; a late child played in the first half; a signature is missing."""
    moved = fixture.moved(datetime(2026, 9, 19, 14, 30), "Mossbottom Lower Meadow")
    pins: Pins = {"quokkas": {"late": (46,)}}
    game = Game(world, moved, Plan(pins=pins, fixed={("quokkas", 46): (4, 6)}))
    game.drop("countersign", team="marmots", by=game.stand["quokkas"][0])
    return game


def oak_3a(world: World, fixture: Fixture) -> Game:
    """One over without a listing, one over without the stripe."""
    game = Game(world, fixture, Plan(pins={"pangolins": {"here": (44, 53)}}))
    game.drop("list", team="pangolins", number=44)
    game.drop("stripe", team="pangolins", number=53)
    return game


def oak_3b(world: World, fixture: Fixture) -> Game:
    """Lightning after the visitors were weighed: the game is off."""
    unmarked = {
        team: {"absent": _unmarked(world, team)} for team in (fixture.home, fixture.visitor)
    }
    game = Game(world, fixture, Plan(pins=unmarked))
    storm = game.after(-16)
    game.lines = [line for line in game.lines if line.at < storm]
    game.add("game_off", storm, "head-1", reason="lightning; the field was cleared")
    return game


def _unmarked(world: World, team: str) -> tuple[int, ...]:
    roster = world.rosters[team].items()
    return tuple(number for number, child in roster if child.id not in world.marked)


def acorn_4a(world: World, fixture: Fixture) -> Game:
    """Listed over by mistake and taped, though the scale said ok; three entries withdrawn."""
    three = ("marmots-wm1", "marmots-wm2", "marmots-wm3")
    pins: Pins = {"newts": {"here": (14, 20)}, "marmots": {"absent": (32,)}}
    game = Game(world, fixture, Plan(pins=pins, stand={"marmots": three}))
    weighed = game.one("weigh", team="newts", number=20).at
    twenty = {"team": "newts", "number": 20}
    game.add("list", game.after(-41), "newts-coach1", **twenty, reason="over")
    game.add("stripe", weighed + seconds(6), three[1], **twenty)
    right = game.one("weigh", team="newts", number=14)
    slip = {**right.columns, "value": "over", "ref": "acorn-4a-slip"}
    game.say("weigh", right.at - seconds(12), **slip)
    _withdraw(game, right.at - seconds(5), right.columns["by"], "acorn-4a-slip", "wrong button")
    listed = game.one("list", team="marmots", number=32)
    listed.set(ref="acorn-4a-absent")
    coach = listed.columns["by"]
    at = game.after(-30)
    undo = "acorn-4a-undo"
    _withdraw(game, at, coach, "acorn-4a-absent", "he is coming after all", ref=undo)
    _withdraw(game, at + seconds(400), coach, undo, "that was his brother; he is away")
    return game


def _withdraw(game: Game, at: datetime, by: str, target: str, reason: str, ref: str = "") -> None:
    label = {"ref": ref} if ref else {}
    game.say("withdraw", at, by=by, target=target, reason=reason, **label)


def acorn_4b(world: World, fixture: Fixture) -> Game:
    """The scale was knocked over, and two were weighed on it before it was checked again."""
    pins: Pins = {"quokkas": {"here": (15, 18, 21, 22, 41)}}
    game = Game(world, fixture, Plan(pins=pins, fixed={("quokkas", 41): (3, 5)}))
    keeper = game.keepers("quokkas")[0]
    knocked = game.one("weigh", team="quokkas", number=18).at - seconds(12)
    game.add("scale_out", knocked, keeper, reason="knocked over by a rolling ball")
    checked = game.one("weigh", team="quokkas", number=22).at - seconds(10)
    limit = game.one("station").columns["limit"]
    game.add("station", checked, keeper, reading="10.00", limit=limit)
    return game


def oak_4a(world: World, fixture: Fixture) -> Game:
    """Three of the home team were weighed while two visitors were still to come."""
    game = Game(world, fixture, Plan(pins={"pangolins": {"here": (74, 77)}}))
    third = game.find("weigh", team="snapdragons")[2].at + seconds(16)
    game.delay(third, fixture.kickoff, seconds(60))
    for index, number in enumerate((74, 77)):
        game.one("weigh", team="pangolins", number=number).at = third + seconds(14 + 25 * index)
    return game


def oak_4b(world: World, fixture: Fixture) -> Game:
    """No weighmaster of the home team came; a board member stood in and signed."""
    return Game(world, fixture, Plan(stand={"capybaras": ("board-1",)}))
