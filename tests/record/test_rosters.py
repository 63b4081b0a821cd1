"""Rosters at a moment and withdrawals, against sql/README.md, sections 1 and 4, said slowly."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from ledger.record.accepted import Accepted
from ledger.record.rosters import Rosters
from ledger.record.withdrawals import withdrawn

KINDS = ["player", "roster_add", "roster_drop", "number_change", "enter_player"]
MOMENTS = [f"2026-09-0{day}T12:00:00.000Z" for day in range(1, 6)]


@st.composite
def statements(draw: st.DrawFn) -> Accepted:
    kind = draw(st.sampled_from(KINDS))
    number = draw(st.one_of(st.none(), st.integers(0, 3)))
    return Accepted(
        kind,
        {} if number is None else {"number": number},
        at=None if kind == "player" else draw(st.sampled_from(MOMENTS)),
        team=draw(st.sampled_from(["ash", "elm"])),
        player=draw(st.sampled_from(["a", "b"])),
    )


def said_slowly(
    stated: list[Accepted], gone: set[int], team: str, moment: str
) -> dict[str, object]:
    """Players whose latest add or drop for this team at or before the moment is an add."""
    roster: dict[str, object] = {}
    for player in ("a", "b"):
        own = [
            (statement.at or "", position, statement)
            for position, statement in enumerate(stated, 1)
            if (statement.team, statement.player) == (team, player)
            and (statement.at or "") <= moment
            and position not in gone
        ]
        joins = [s.kind for _, _, s in sorted(own, key=lambda o: o[:2]) if s.kind != KINDS[3]]
        given = [
            s.data["number"]
            for _, _, s in sorted(own, key=lambda o: o[:2])
            if "number" in s.data and s.kind != "roster_drop"
        ]
        if joins and joins[-1] != "roster_drop":
            roster[player] = given[-1] if given else None
    return roster


@given(
    st.lists(statements(), max_size=10),
    st.sets(st.integers(1, 10), max_size=3),
    st.sampled_from(MOMENTS),
)
def test_a_roster_is_what_the_text_says(
    stated: list[Accepted], gone: set[int], moment: str
) -> None:
    rosters = Rosters()
    for position, statement in enumerate(stated, 1):
        rosters.learn(statement, str(position), ("", "", position))
    ids = set(map(str, gone))
    for team in ("ash", "elm"):
        assert rosters.at(team, moment, ids) == said_slowly(stated, gone, team, moment)


@given(st.data())
def test_a_withdrawn_withdrawal_restores_its_target(data: st.DataObject) -> None:
    """A statement counts unless a withdrawal that itself counts names it."""
    withdrawals = [
        (position, data.draw(st.integers(1, position - 1)))
        for position in sorted(data.draw(st.sets(st.integers(2, 12), max_size=8)))
    ]

    def counts(statement: int) -> bool:
        return not any(target == statement and counts(by) for by, target in withdrawals)

    gone = withdrawn(data.draw(st.permutations(withdrawals)))
    assert gone == {position for position in range(1, 13) if not counts(position)}
