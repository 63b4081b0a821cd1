"""What decides must be in a packet, wherever it stands: other games, other cases, the same name.

Game g1 is on 5 September, g2 a week later; both have ash at home.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ledger.review.packet import Packet, build_packet
from ledger.review.packet_leads import Held, Lead
from ledger.review.packet_proof import choose_shown
from ledger.store.erasure import erase
from tests.review.cases_of import opens, season
from tests.tiny import TEXTS, says


@contextmanager
def packet_of(
    tmp_path: Path, *lines: dict[str, str], case: str = "c1", **files: str
) -> Iterator[Packet]:
    with season(tmp_path, *lines, **files) as store:
        yield build_packet(store, case)


def in_g1(clock: str, kind: str, **cells: object) -> dict[str, str]:
    return says(kind, **({"at": f"2026-09-05T{clock}", "game": "g1", "team": "ash"} | cells))


def in_g2(clock: str, kind: str, **cells: object) -> dict[str, str]:
    return says(kind, **({"at": f"2026-09-12T{clock}", "game": "g2", "team": "ash"} | cells))


def rules_of(packet: Packet) -> set[tuple[str, str | None]]:
    return {(finding["rule"], finding["game"]) for finding in packet.case.findings}


def shown(packet: Packet) -> list[tuple[str, str | None, str | None]]:
    """The timeline: kind, game and player."""
    return [(s.kind, s.game, s.player) for s in (one.statement for one in packet.timeline)]


# Facts of other games


WRONG_MARK = (
    in_g1("08:30", "weigh", number=2, value="ok"),
    in_g1("08:31", "initial", number=2, value="over", initials="QX"),
    in_g1("08:32", "weigh", number=1, value="over"),
)
BROKEN_SCALE = (
    in_g2("09:31", "scale_out", team=None, reason="no power"),
    in_g2("09:35", "weigh", number=2, value="no_scale"),
)


def test_a_mark_that_decides_comes_with_its_weigh_and_with_what_is_wrong_with_it(
    tmp_path: Path,
) -> None:
    """In g2 the scale is out and the book decides: over. In g1 the scale said ok."""
    asks = opens(at="2026-09-12T09:40", game="g2")
    with packet_of(tmp_path, *WRONG_MARK, *BROKEN_SCALE, asks) as packet:
        found, timeline = rules_of(packet), shown(packet)
        ids = packet.shown_ids
        history = packet.history
    assert ("book_mark_differs", "g1") in found
    assert ("weigh", "g1", "a2") in timeline
    assert ("initial", "g1", "a2") in timeline
    assert "a1" not in {player for _, _, player in timeline}
    assert [
        (one.game, [w.says["value"] for w in one.weighs], [m.says["value"] for m in one.marks])
        for one in history
    ] == [("g1", ["ok"], ["over"]), ("g2", ["no_scale"], [])]
    assert [one.is_first_mark for one in history] == [True, False]
    assert [one.row["basis"] for one in history if one.row] == ["scale", "book"]
    assert all(one.events <= ids for one in history)


def test_a_mark_that_is_missing_is_a_finding_of_the_game_where_it_was_due(tmp_path: Path) -> None:
    asks = opens(at="2026-09-12T09:40", game="g2")
    with packet_of(tmp_path, WRONG_MARK[0], *BROKEN_SCALE, asks) as packet:
        found, timeline = rules_of(packet), shown(packet)
    assert ("book_not_initialed", "g1") in found
    assert ("carrier_undecided", "g2") in found
    assert ("weigh", "g1", "a2") in timeline


def test_the_scale_of_the_game_and_of_the_mark_is_in_it(tmp_path: Path) -> None:
    """The limit is 100 lb. Both stations are wrong; that of g1 made the mark which g2 goes by."""
    lines = (
        in_g1("08:20", "station", team=None, reading="10", limit=90),
        *WRONG_MARK,
        in_g2("09:30", "station", team=None, reading="10", limit=95),
        *BROKEN_SCALE,
    )
    asks = opens(at="2026-09-12T09:40", game="g2")
    with packet_of(tmp_path, *lines, asks) as packet:
        found, timeline = rules_of(packet), shown(packet)
    assert {("limit_wrong", "g1"), ("limit_wrong", "g2")} <= found
    assert {("station", "g1", None), ("station", "g2", None)} <= {*timeline}


def test_a_check_that_failed_comes_with_the_one_that_passed(tmp_path: Path) -> None:
    """A packet showed a check 1.25 lb off before the mark, and not that the scale was leveled."""
    lines = (
        in_g1("08:10", "station", team=None, reading=12, limit=100),
        in_g1("08:20", "station", team=None, reading=10, limit=100),
        *WRONG_MARK,
        *BROKEN_SCALE,
    )
    asks = opens(at="2026-09-12T09:40", game="g2")
    with packet_of(tmp_path, *lines, asks) as packet:
        found, timeline = rules_of(packet), shown(packet)
    assert ("check_weight_off", "g1") in found
    assert timeline.count(("station", "g1", None)) == 2


def test_findings_about_other_children_stay_out_but_for_the_list(tmp_path: Path) -> None:
    """Number 1 goes on the list after both sides signed it: that is about the list in question."""
    lines = (
        *WRONG_MARK,
        in_g1("08:50", "countersign", by="wa"),
        in_g1("08:51", "countersign", by="we"),
        in_g1("08:55", "list", number=1, reason="over"),
    )
    with packet_of(tmp_path, *lines, opens()) as packet:
        others = {row["rule"] for row in packet.case.findings if row["player"] == "a1"}
    assert others == {"list_changed_after_sign"}


# Other cases


RULED = (
    opens("c0", at="2026-09-05T09:00"),
    says("ruling", at="2026-09-05T09:05", case="c0", by="so", value="denied", game="g1",
         team="ash", player="a2", may_carry="no", note="The mark stands."),
    says("case_close", at="2026-09-05T09:06", case="c0", by="so"),
)  # fmt: skip


def test_an_earlier_case_about_the_same_child_is_in_it_with_its_ruling(tmp_path: Path) -> None:
    asks = opens(reason="protest", at="2026-09-06T09:00")
    with packet_of(tmp_path, *WRONG_MARK, *RULED, asks) as packet:
        (other,) = packet.others
        (row,) = [one for table in packet.compared for one in table.rows if one.is_asked]
        by_ruling = packet.rulings_of(row.now or {"events": []})
        assert other.events <= packet.shown_ids
    assert (other.case.case_id, other.shares, other.is_earlier) == ("c0", "player", True)
    assert other.case.state == "closed"
    assert [(one.value, one.has_authority) for one in other.rulings] == [("denied", True)]
    assert {one.event_id for one in other.rulings} <= other.ours
    assert by_ruling == ("c0",)


def test_cases_about_the_list_and_the_game_are_in_it_too(tmp_path: Path) -> None:
    lines = (
        opens("list", at="2026-09-05T09:10", player="a1"),
        opens("parallel", at="2026-09-05T09:11", team="elm", player="e1"),
        opens("elsewhere", at="2026-09-05T09:12", game="g2", team="elm", player="e1"),
        opens("mistaken", at="2026-09-05T09:13", ref="slip"),
        says("withdraw", at="2026-09-05T09:14", target="slip", reason="a slip"),
    )
    with packet_of(tmp_path, *WRONG_MARK, opens(), *lines) as packet:
        found = [(one.case.case_id, one.shares, one.is_earlier) for one in packet.others]
        first = build_and_find(packet)
    assert found == [("list", "list", False), ("parallel", "game", False)]
    assert first == frozenset()


def build_and_find(packet: Packet) -> frozenset[str]:
    """The rulings of other cases that name the child in question."""
    return frozenset().union(*(one.ours for one in packet.others))


# Who the number, the name and the id lead to


STRANGER = TEXTS["players"] + "k9,,,Bo  Yarrow\nk8,elm,7,Cleo Fenwick\n"
ENTERED = in_g1("08:33", "weigh", number=7, name="Bo Yarrow", value="ok", by="wa")
ADDED = says("roster_add", at="2026-09-07T18:00", by="rg", team="ash", player="k9", number=7)
UNLISTED = "unlisted-g1-ash-7"
ASKS = opens(reason="roster", player=UNLISTED, at="2026-09-07T19:00")


def test_the_number_the_name_and_the_id_lead_to_the_child_under_both_ids(tmp_path: Path) -> None:
    """7 was on no roster and entered by name. Two days later k9 of the same name joined as 7."""
    with packet_of(tmp_path, *WRONG_MARK, ENTERED, ADDED, ASKS, players=STRANGER) as packet:
        assert packet.asked == {UNLISTED}
        assert packet.namesakes == {"k9"}
        assert packet.numbers is not None
        leads = packet.numbers.leads
        assert ("roster_add", None, "k9") in shown(packet)
    here, there = (Held(UNLISTED, 7),), (Held("k9", 7),)
    about = {"team": "ash", "player": UNLISTED, "at_kickoff": (), "entered": here}
    assert leads == (
        Lead(by="number", number=7, now=there, **about),
        Lead(by="name", number=None, now=there, **about),
        Lead(by="id", number=None, now=(), **about),
    )


def test_an_erased_name_leads_to_nobody(tmp_path: Path) -> None:
    lines = (*WRONG_MARK, ENTERED, ADDED, ASKS)
    with season(tmp_path, *lines, players=STRANGER) as store:
        events = [one.event for one in store.events(kind=["player"], player=["k9"])]
        erase(store, events, by="rg", chain="office")
        packet = build_packet(store, "c1")
    assert packet.namesakes == frozenset()
    assert packet.numbers is not None
    assert [(lead.by, lead.now) for lead in packet.numbers.leads] == [
        ("number", (Held("k9", 7),)), ("id", ()),
    ]  # fmt: skip


def test_another_question_looks_for_no_namesake(tmp_path: Path) -> None:
    asks = opens(player=UNLISTED)
    with packet_of(tmp_path, *WRONG_MARK, ENTERED, asks, players=STRANGER) as packet:
        assert (packet.namesakes, packet.numbers) == (frozenset(), None)


def test_the_proof_shows_the_name_under_both_ids(tmp_path: Path) -> None:
    lines = (*WRONG_MARK, ENTERED, ADDED, ASKS)
    with season(tmp_path, *lines, players=STRANGER) as store:
        packet = build_packet(store, "c1")
        choice = choose_shown(store, packet)
        brought_in = {one.event.player: one.id for one in store.events(kind=["player"])}
    assert (brought_in["k9"], "name") in choice.disclose
    assert (brought_in["k8"], "name") not in choice.disclose
