"""Signatures name the version of the rules: a change of an answer must raise it."""

from __future__ import annotations

import json
from hashlib import sha256

from ledger.audit import lists
from ledger.derive.engine import Engine
from ledger.derive.signed_list import FORM, RULES, list_contents
from tests.random_seasons import random_season
from tests.stored import stored_events

ANSWERS = {"1": "735f3ea945a5ba335e789aa6550f3767a627822af7c72c4d253068489633133d"}
"""By version, the digest of the signed content of some random seasons. Where it differs, an answer
has changed: raise RULES in `ledger.derive.signed_list` and in `ledger.audit.lists`, and add a line.
"""


def test_an_answer_that_changed_has_a_new_version() -> None:
    digest = sha256()
    for seed in range(1, 13):
        engine = Engine(stored_events(random_season(seed)))
        contents = sorted(list_contents(engine).items())
        digest.update(json.dumps(contents, sort_keys=True).encode())
        engine.close()
    assert digest.hexdigest() == ANSWERS[RULES]


def test_the_audit_knows_the_same_version() -> None:
    assert (lists.FORM, lists.RULES) == (FORM, RULES)
