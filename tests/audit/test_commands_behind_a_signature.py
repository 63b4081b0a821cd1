"""Random sequences of ordinary commands after both have signed: what must hold after each.

Where a list is not what was signed, its signature does not stand; late arrivals were not weighed
when it was signed; what claims to be older than a signature it came after is a finding; and the
receipts at home still fit, since nothing was altered. `holes` says each again, in plain Python.
"""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.audit.attacks.commands import ALL, TIMES, TRIES, WAYS
from tests.audit.attacks.commands import given as made_at
from tests.audit.attacks.signed_morning import Command, after, holes, look, signed_morning

SINGLE = [cells for one in TRIES for cells in one.commands if "@1" not in cells.values()]
LAST = {"kind": "withdraw", "target": "@last", "by": "we", "reason": "a slip"}


def one_command() -> st.SearchStrategy[Command]:
    return st.builds(
        lambda cells, time, way: made_at([cells], time, way)[0],
        st.sampled_from([*SINGLE, *[LAST] * 8]),
        st.sampled_from(sorted(TIMES)),
        st.sampled_from(sorted(WAYS)),
    )


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(one_command(), min_size=1, max_size=6))
def test_whatever_is_recorded_what_was_signed_is_told(commands: list[Command]) -> None:
    # A ruling in a case that was never opened is refused.
    with after(commands, skips_refused=True) as (store, _):
        seen = look(store)
    assert holes(seen) == []


def test_a_hole_would_be_seen() -> None:
    """The same checks on what is told of another ledger: each of them can fail."""
    with after(made_at([SINGLE[0]], "long before", "in their chain")) as (store, _):
        changed = look(store)
    with after([]) as (store, _):
        signed = look(store)
    assert holes(changed) == holes(signed) == []
    told = holes(changed._replace(signatures=signed.signatures, behind=signed.behind))
    new = f"office:{len(signed.events) + 1}"
    assert f"no finding about {new}" in told
    for name in ("wa in g1", "we in g1"):
        assert any(hole.startswith(signed_morning().ids[name]) for hole in told)
    told = holes(signed._replace(signatures=changed.signatures, behind=changed.behind - {new}))
    assert len(told) == 4  # two signatures: the state, and the players
    assert holes(signed._replace(signatures={})) != []
    assert holes(signed._replace(problems=["another byte"])) != []


@pytest.mark.parametrize("name", sorted(ALL))
def test_every_command_is_accepted(name: str) -> None:
    (one,) = [one for one in TRIES if one.name == name]
    with after(made_at(one.commands, "after", "in their chain")) as (_, recorded):
        assert len(recorded) == len(one.commands)
