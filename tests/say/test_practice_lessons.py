"""The lessons of the practice game."""

from __future__ import annotations

from ledger.derive.findings import rules
from ledger.say.practice_lessons import LESSONS, SHOWN_BY, UNTOLD

OWN_WORDS = {
    *("counts_differ", "entered_late", "initialed_by_own_side", "list_not_countersigned"),
    *("played_first_half", "played_not_eligible", "stated_after_close", "too_many_at_scale"),
    *("weighed_by_own_side", "weighed_too_early", "weighmaster_is_coach"),
    *("weighmaster_not_trained", "withdrawn_by_other", "appointed_without_authority"),
    *("case_overdue", "on_two_rosters", "protest_late", "ruling_without_authority"),
}


def test_each_rule_belongs_to_a_lesson_or_is_told_in_its_own_words_or_not_at_all() -> None:
    """A new rule has to be put into one of the three."""
    assert not SHOWN_BY.keys() & {*UNTOLD}
    assert set(rules()) - SHOWN_BY.keys() - {*UNTOLD} == OWN_WORDS


def test_what_can_be_learned_in_a_scene() -> None:
    taught: dict[str, list[str]] = {}
    for one in LESSONS:
        for scene in one.scenes:
            taught.setdefault(scene, []).append(one.code)
    alone = {scene for scene, codes in taught.items() if len(codes) == 1}
    assert {scene: codes for scene, codes in taught.items() if scene not in alone} == {
        "first": ["early", "wrong"],
        "second": ["early", "wrong", "tape"],
        "plain": ["early", "wrong"],
        "slow": ["early", "wrong"],
        "over": ["early", "wrong", "tape"],
        "fix": ["number", "book"],
        "broken": ["book", "broken"],
        "sign": ["signed", "too soon", "unread"],
    }
    assert taught["scale"] == taught["spare"] == ["scale"]
    assert taught["gear"] == taught["shirt"] == ["gear"]
