"""What is in a packet: whom it is about, then and now, numbers, sides, rulings tried out."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from ledger.derive.engine import Engine
from ledger.derive.scope import read_case
from ledger.errors import InputError
from ledger.review.packet import Packet, build_packet
from ledger.review.packet_lists import ComparedRow
from ledger.review.packet_numbers import GameNumbers, Move
from ledger.review.packet_proof import choose_shown, prove_packet
from ledger.review.packet_protest import COMPARED, RULINGS, build_protest
from ledger.store.erasure import erase, events_of_child
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.disclosing import word_of
from tests.review.cases_of import adds, opens, season
from tests.signed_season import season as signed_season
from tests.tiny import says


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqliteStore]:
    with signed_season(tmp_path_factory.mktemp("sample") / "season.weighbook") as store:
        yield store


def at(clock: str, kind: str, **cells: object) -> dict[str, str]:
    """A line of game g1 on its day."""
    return says(kind, **({"at": f"2026-09-05T{clock}", "game": "g1", "team": "ash"} | cells))


WEIGHED = (
    at("08:30", "weigh", number=2, value="over"),
    at("08:31", "list", number=2, reason="over"),
    at("08:32", "weigh", number=1, value="ok"),
    at("08:50", "countersign", by="wa"),
    at("08:51", "countersign", by="we"),
)


@contextmanager
def packet_of(tmp_path: Path, *lines: dict[str, str], **moments: str) -> Iterator[Packet]:
    with season(tmp_path, *lines) as store:
        yield build_packet(store, "c1", **moments)


def row_of(packet: Packet, player: str) -> ComparedRow:
    return next(row for table in packet.compared for row in table.rows if row.player == player)


# Whom it is about


def test_a_question_about_a_player_asks_about_that_player_alone(sample: SqliteStore) -> None:
    packet = build_packet(sample, "late-plays")
    assert packet.asked == {"k529"}
    assert packet.sides == (("acorn-3b", "quokkas"),)
    about = {shown.statement.player for shown in packet.timeline}
    assert about <= {"k529", None}


def test_a_roster_question_asks_about_whom_it_ruled_on_and_who_is_on_no_roster(
    sample: SqliteStore,
) -> None:
    packet = build_packet(sample, "mixed-numbers")
    assert packet.asked == {"k172", "k635", "unlisted-acorn-2b-dormice-30"}


def test_whom_a_ruling_named_by_mistake_is_not_asked_about(tmp_path: Path) -> None:
    slip = adds("ruling", by="so", value="decided", ref="slip", may_carry="no",
                game="g1", team="ash", player="a1", note="about the other")  # fmt: skip
    back = says("withdraw", at="2026-09-05T09:20", target="slip", by="so", reason="wrong child")
    with packet_of(tmp_path, *WEIGHED, opens(), slip, back) as packet:
        assert packet.asked == {"a2"}
        assert [
            one.statement.player for one in packet.timeline if one.statement.kind == "ruling"
        ] == ["a1"]
    taken_back = says("withdraw", at="2026-09-05T09:30", target="asked", reason="a mistake")
    with packet_of(tmp_path, *WEIGHED, opens(ref="asked"), taken_back) as packet:
        assert packet.asked == {"a2"}


def test_a_question_of_safety_shows_no_list_of_children(sample: SqliteStore) -> None:
    packet = build_packet(sample, "slow-answer")
    assert (packet.asked, packet.sides, packet.lists) == (frozenset(), (), ())


def test_a_question_without_a_game(sample: SqliteStore) -> None:
    packet = build_packet(sample, "lost-binder")
    assert (packet.games, packet.sides) == ((), ())
    assert [shown.statement.kind for shown in packet.timeline] == ["case_open", "case_close"]


def test_no_such_case(sample: SqliteStore) -> None:
    with pytest.raises(InputError, match="no case late-play "):
        build_packet(sample, "late-play")


@pytest.mark.parametrize(
    ("case", "rules", "weighs"),
    [
        # The mark of September 5 says over, the weigh beside it ok; the case is of September 12.
        ("wrong-mark", {("book_mark_differs", "acorn-1b")}, {"acorn-1b", "acorn-2a", "acorn-4b"}),
        # A scale set to last month's limit, then to the right one.
        (
            "old-limit",
            {("limit_wrong", "acorn-5a"), ("limit_moved", "acorn-5a")},
            {"acorn-1a", "acorn-5a"},
        ),
    ],
)
def test_what_decides_stands_in_the_packet(
    sample: SqliteStore, case: str, rules: set[tuple[str, str]], weighs: set[str]
) -> None:
    packet = build_packet(sample, case)
    assert rules <= {(row["rule"], row["game"]) for row in packet.case.findings}
    shown = [one.statement for one in packet.timeline]
    assert {one.game for one in shown if one.kind == "weigh"} == weighs


# The timeline


def test_the_timeline_is_in_the_order_in_which_it_happened(sample: SqliteStore) -> None:
    packet = build_packet(sample, "mixed-numbers")
    places = [(one.statement.happened, one.statement.position) for one in packet.timeline]
    assert places == sorted(places)
    own = [one.statement.kind for one in packet.timeline if one.is_own]
    assert own == ["case_open", "case_refer", "case_statement", "case_statement", "case_refer",
                   "ruling", "ruling", "case_close"]  # fmt: skip


def test_what_was_withdrawn_stays_with_its_withdrawal(tmp_path: Path) -> None:
    slip = at("08:20", "weigh", number=2, value="ok", ref="slip")
    back = says("withdraw", at="2026-09-05T08:21", target="slip", reason="wrong button")
    with packet_of(tmp_path, slip, back, *WEIGHED, opens()) as packet:
        first, second, *_ = packet.timeline
    assert first.statement.withdrawn_by == second.statement.event
    assert (second.statement.kind, second.said) == ("withdraw", "wrong button")


def test_other_childrens_remarks_are_not_in_it(tmp_path: Path) -> None:
    of_other = at("08:33", "concern", number=1, reason="helmet", note="about the other")
    of_asked = at("08:34", "concern", number=2, reason="helmet", note="about this one")
    with packet_of(tmp_path, *WEIGHED, of_other, of_asked, opens()) as packet:
        said = [one.said for one in packet.timeline if one.said]
    assert said == ["about this one"]


def test_nor_why_a_statement_about_another_child_was_taken_back(tmp_path: Path) -> None:
    """A question about the whole game: the finding withdrawn_by_other brings withdrawals in."""
    lines = (
        at("08:33", "weigh", number=1, value="over", ref="other"),
        at("08:34", "at_scale", ref="nobody"),
        says("withdraw", target="other", by="wa", reason="about the other", ref="back"),
        says("withdraw", target="back", by="we", reason="about the other again"),
        says("withdraw", target="nobody", by="wa", reason="about no child"),
        adds("case_statement", "09:05", ref="said"),
        says("withdraw", at="2026-09-05T09:06", target="said", by="wa", reason="about the case"),
    )
    asks = opens(team=None, player=None)
    with packet_of(tmp_path, *WEIGHED, *lines[:-2], asks, *lines[-2:]) as packet:
        shown = [one for one in packet.timeline if one.statement.kind == "withdraw"]
    assert [one.said for one in shown] == [None, None, "about no child", "about the case"]
    assert not any(one.is_erased for one in shown)


def test_the_number_zero_is_a_number(tmp_path: Path) -> None:
    stranger = at("08:33", "weigh", number=0, name="Invented Stranger", value="ok")
    with packet_of(tmp_path, *WEIGHED, stranger, opens(reason="roster", player=None)) as packet:
        (shown,) = [one for one in packet.timeline if one.statement.kind == "weigh"]
    assert shown.number == 0
    assert packet.asked == {"unlisted-g1-ash-0"}


# Then and now


def test_the_ruling_that_came_after_the_signature_differs(sample: SqliteStore) -> None:
    """acorn-2a, quokkas 21: over by the book, and may carry by the ruling before kickoff."""
    packet = build_packet(sample, "wrong-mark")
    row = row_of(packet, "k502")
    assert row.is_asked
    assert row.differs
    assert row.then is not None
    assert row.now is not None
    assert (row.then["may_carry"], row.then["basis"]) == ("no", "book")
    assert (row.now["may_carry"], row.now["basis"]) == ("yes", "ruling")
    signed = [s["entered_at"] for s in Engine(packet.stored).answer("signature").dicts()
              if (s["game"], s["team"]) == ("acorn-2a", "quokkas")]  # fmt: skip
    assert packet.compared[0].signed_at == min(signed)


def test_before_the_ruling_nothing_differs(sample: SqliteStore) -> None:
    packet = build_packet(sample, "wrong-mark", as_of="2026-09-12T13:54:00.000Z")
    assert packet.case.state == "open"
    assert not row_of(packet, "k502").differs


def test_nobody_signed(tmp_path: Path) -> None:
    with packet_of(tmp_path, WEIGHED[0], WEIGHED[1], opens()) as packet:
        (table,) = packet.compared
        (one,) = packet.lists
    assert (table.signed_at, [row.differs for row in table.rows]) == (None, [False])
    assert [line.standing for line in one.lines] == ["unsigned"]


def test_a_list_shows_what_was_on_it_when_it_was_signed(tmp_path: Path) -> None:
    later = at("08:55", "list", number=1, reason="absent")
    gone = at("08:40", "list", number=1, reason="equipment", ref="gone")
    back = says("withdraw", at="2026-09-05T08:56", target="gone", reason="wrong child")
    with packet_of(tmp_path, *WEIGHED[:3], gone, *WEIGHED[3:], later, back, opens()) as packet:
        (one,) = packet.lists
    shown = [(line.row["number"], line.row["reason"], line.standing) for line in one.lines]
    assert shown == [(1, "absent", "added"), (1, "equipment", "withdrawn"), (2, "over", "signed")]


def test_what_the_ledger_had_received_by_then(sample: SqliteStore) -> None:
    """The sample season was recorded in one go, so its own clock knows the ruling with the rest."""
    row = row_of(build_packet(sample, "wrong-mark"), "k502")
    assert row.recorded == row.now


# Numbers


def test_the_twins_numbers_game_by_game(sample: SqliteStore) -> None:
    """The sample season's README: 8 and 18 swapped shirts, 18 becomes 81, 30 joins the roster."""
    numbers = build_packet(sample, "mixed-numbers").numbers
    assert numbers is not None
    assert numbers.numbers == (8, 18, 30, 81)
    worn = {
        (step.game, one.player): (one.on_roster, one.stated)
        for step in numbers.steps
        if isinstance(step, GameNumbers)
        for one in step.worn
    }
    assert worn["acorn-2b", "k172"] == (18, (18,))
    assert worn["acorn-3a", "k172"] == (81, (81,))
    assert worn["acorn-3a", "k635"] == (8, (8,))
    assert worn["acorn-2b", "unlisted-acorn-2b-dormice-30"] == (None, (30,))
    moves = [step for step in numbers.steps if isinstance(step, Move)]
    assert [(move.kind, move.player, move.number) for move in moves] == [
        ("number_change", "k172", 81),
        ("roster_add", "k178", 30),
    ]


def test_numbers_as_of_a_moment(sample: SqliteStore) -> None:
    packet = build_packet(sample, "mixed-numbers", as_of="2026-09-15T00:50:00.000Z")
    assert packet.numbers is not None
    assert packet.numbers.numbers == (8, 18, 30)
    assert not [step for step in packet.numbers.steps if isinstance(step, Move)]


def test_a_withdrawn_number_is_none(tmp_path: Path) -> None:
    change = says("number_change", at="2026-09-04T08:00", team="ash", player="a2", number=22,
                  by="rg", ref="slip")  # fmt: skip
    back = says("withdraw", at="2026-09-04T08:01", target="slip", by="rg", reason="typo")
    with packet_of(tmp_path, change, back, *WEIGHED, opens(reason="roster")) as packet:
        assert packet.numbers is not None
        assert packet.numbers.numbers == (2,)


# A protest


def test_who_speaks_for_which_side(sample: SqliteStore) -> None:
    protest = build_protest(build_packet(sample, "late-plays"))
    by = {side: [one.statement.by for one in said] for side, said in protest.said.items()}
    assert by == {
        "visitor": ["quokkas-coach2"],
        "home": ["marmots-coach1", "marmots-coach1"],
        "both": [],
        "neither": [],
    }


def test_counts_of_two_officials_are_held_beside_one_another(tmp_path: Path) -> None:
    lines = (
        at("10:30", "plays", number=2, half=1, count=3, by="pc"),
        at("10:50", "plays", number=2, half=1, count=4, by="pc"),
        at("10:51", "plays", number=2, half=1, count=5, by="we"),
        at("11:50", "plays", number=2, half=2, count=6, by="pc"),
        at("11:51", "plays", number=2, half=2, count=6, by="we"),
    )
    with packet_of(tmp_path, *WEIGHED, *lines, opens(reason="protest")) as packet:
        counts = build_protest(packet).counts
    assert [(one.half, one.by, one.alike) for one in counts] == [
        (1, {"pc": 4, "we": 5}, False),
        (2, {"pc": 6, "we": 6}, True),
    ]
    assert [row["rule"] for row in packet.case.findings if row["rule"] == "counts_differ"]


def answers(store: SqliteStore) -> dict[str, dict[str, Any]]:
    """Both answers of g1 by player, as the ledger gives them."""
    engine = Engine(read_case(store, "c1"))
    rows = {row["player"]: row for row in engine.answer("eligibility", game="g1").dicts()}
    for row in engine.answer("exposure", game="g1").dicts():
        given = {key: row[key] for key in ("required", "recorded", "short", "status")}
        rows[row["player"]] = rows[row["player"]] | {"due_for": row["may_play"]} | given
    return rows


LEAGUE_BY_SQUAD = """\
[league]
name = "Invented League"
season = "2026"
time_zone = "America/Chicago"
[plays]
by_squad_size = [{up_to = 1, minimum = 12}, {minimum = 10}]
"""


@pytest.mark.parametrize(("key", "value"), RULINGS)
@pytest.mark.parametrize("is_over", [False, True], ids=["during the game", "after the game"])
def test_a_ruling_tried_out_is_what_the_same_ruling_would_do(
    tmp_path: Path, key: str, value: str, is_over: bool
) -> None:
    """The ruling is recorded for real in a second ledger. With a minimum that goes by the squad,
    one player's ruling moves the other's row too, until the second half has ended."""
    lines = [*WEIGHED, at("10:50", "plays", number=1, half=1, count=9, by="pc")]
    if is_over:
        lines.append(at("11:40", "half", half=2, team=None, by="ho"))
    lines.append(opens(at="2026-09-05T12:00"))
    with season(tmp_path / "asked", *lines, league=LEAGUE_BY_SQUAD) as store:
        before = answers(store)
        length = store.lengths()
        tried = build_protest(build_packet(store, "c1")).tried
        assert store.lengths() == length
    ruled = adds("ruling", "12:00", by="so", value="decided", game="g1", team="ash", player="a2",
                 **{key: value})  # fmt: skip
    with season(tmp_path / "ruled", *lines, ruled, league=LEAGUE_BY_SQUAD) as store:
        after = answers(store)
    (one,) = [found for found in tried if (found.key, found.value) == (key, value)]
    expected = {
        player: {name: row[name] for name in COMPARED}
        for player, row in after.items()
        if any(row[name] != before[player][name] for name in COMPARED)
    }
    found = {row.player: {name: row.after[name] for name in COMPARED} for row in one.changed}
    assert found == expected
    if (key, value) == ("may_play", "none") and not is_over:
        assert expected["a1"]["required"] == 12


def test_a_later_ruling_is_tried_on_top_of_those_that_stand(sample: SqliteStore) -> None:
    tried = build_protest(build_packet(sample, "wrong-mark")).tried
    changes = {(one.key, one.value): len(one.changed) for one in tried}
    assert changes["may_carry", "yes"] == 0
    assert changes["may_carry", "no"] == 1


def test_nobody_rules_on_a_question_that_was_taken_back(tmp_path: Path) -> None:
    back = says("withdraw", at="2026-09-05T09:30", target="asked", reason="a misunderstanding")
    with packet_of(tmp_path, *WEIGHED, opens(ref="asked"), back) as packet:
        assert packet.case.state == "withdrawn"
        assert build_protest(packet).tried == ()


def test_of_many_players_three_are_tried(tmp_path: Path) -> None:
    rulings = [
        adds("ruling", f"09:1{n}", by="so", value="decided", game="g1", team=team, player=player,
             may_carry="yes")
        for n, (team, player) in enumerate(
            [("ash", "a1"), ("ash", "a2"), ("elm", "e1"), ("elm", "e2")]
        )
    ]  # fmt: skip
    with packet_of(tmp_path, *WEIGHED, opens(), *rulings) as packet:
        protest = build_protest(packet)
    assert len({one.player for one in protest.tried}) == 3
    assert protest.left_out == 1


# The proof


def test_the_proof_discloses_what_the_packet_shows_and_no_other_childs_name(
    sample: SqliteStore,
) -> None:
    packet = build_packet(sample, "mixed-numbers")
    proved = prove_packet(sample, choose_shown(sample, packet))
    assert not isinstance(proved, str)
    _, checked = proved
    assert packet.shown_ids <= {event.id for event in checked.events}
    names = [told for told in checked.texts if word_of(told.event, told.field) == "name"]
    on_a_roster = {player for player in packet.named if not player.startswith("unlisted-")}
    assert {told.event.player for told in names} == on_a_roster
    assert {told.value for told in names} == {
        "Tilda Thistlequill", "Tilly Thistlequill", "Juniper Raincobble",
    }  # fmt: skip
    said = {told.value for told in checked.texts if told.field in ("note", "reason")}
    assert said == {one.said for one in packet.timeline if one.said}


def test_what_was_erased_is_not_in_it(tmp_path: Path) -> None:
    with season(tmp_path, *WEIGHED, opens(note="about the child")) as store:
        events = events_of_child(store, "a2")
        erase(store, events, by="rg", reason="the family asks", chain="office", player="a2")
        packet = build_packet(store, "c1")
        proved = prove_packet(store, choose_shown(store, packet))
    assert not isinstance(proved, str)
    assert "Ottla Bramblewick" not in {text.value for text in proved[1].texts}


def test_without_a_key_it_says_why_there_is_no_proof(tmp_path: Path) -> None:
    with season(tmp_path, *WEIGHED, opens()) as store:
        store.connection.execute("delete from key")
        proved = prove_packet(store, choose_shown(store, build_packet(store, "c1")))
    assert proved == "the key of the chain office is not in this ledger"
