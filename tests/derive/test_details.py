"""What a finding says was seen: a sentence that counts children, or says what to do."""

from __future__ import annotations

import pytest

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from tests.short_season import short_season
from tests.stored import stored_events

FIRST = "05/14:50 weigh g1 elm e1 ok wa\n"


def detail(text: str, rule: str) -> str:
    engine = Engine(stored_events(short_season(text)))
    (row,) = find(engine, rule=rule).dicts()
    engine.close()
    return str(row["detail"])


@pytest.mark.parametrize(
    ("rule", "text", "said"),
    [
        (
            "weighed_too_early",
            "05/14:20 weigh g1 elm e1 ok wa\n05/14:21 weigh g1 elm e1 ok wa\n",
            "1 child was weighed more than 30 minutes before kickoff.",
        ),
        (
            "weighed_too_early",
            "05/14:20 weigh g1 elm e1 ok wa\n05/14:21 weigh g1 elm e2 ok wa\n",
            "2 children were weighed more than 30 minutes before kickoff.",
        ),
        (
            "weighed_out_of_turn",
            "05/14:40 weigh g1 ash a1 ok we\n" + FIRST,
            "1 child was weighed before the first team was done.",
        ),
        (
            "weighed_out_of_turn",
            "05/14:40 weigh g1 ash a1 ok we\n05/14:41 weigh g1 ash a2 ok we\n" + FIRST,
            "2 children were weighed before the first team was done.",
        ),
        (
            "scale_out_missing",
            "05/14:40 weigh g1 elm e1 no_scale wa\n",
            "Players came to the scale before anyone entered that it was out.",
        ),
        (
            "half_not_stated",
            FIRST + "05/15:10 late_weigh g1 elm e2 ok wa\n05/16:30 half g1 half=2 by=so\n",
            "Weighed late. Enter when the first half ended.",
        ),
        (
            "played_not_eligible",
            FIRST + "05/16:30 plays g1 elm e2 half=2 count=15 pc\n",
            "15 plays are entered; the player was not to play that day.",
        ),
    ],
)
def test_a_sentence_for_the_next_table(rule: str, text: str, said: str) -> None:
    assert detail(text, rule) == said
