"""The API by its own schema: what it allows, and what it does not, drawn by schemathesis.

No answer is a fault, each is JSON of a form that the schema tells, and what the schema forbids is
not done. In this process, by three people signed in on one device; bounded in examples.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from copy import deepcopy
from itertools import count
from typing import Any

import pytest
import requests
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis import Case, GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.core.transport import Response
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from ledger.field.schema import BODIES, QUERIES, schema_of_api
from ledger.store.opening import open_store
from tests.field.desk import make_ledger
from tests.field.served import ORIGIN, Answer, Browser, served
from tests.field.test_odd_requests import by_for

PEOPLE = ("rg", "dp", "we")
KNOWN = {
    "team": ["ash", "elm"], "player": ["a1", "e1", "u1"], "number": ["1", "2", "77"],
    "half": ["1", "2", "3"], "at": ["2026-09-05T13:40:00.000Z", "2026-09-05T10:40"],
    "case": ["drawn-1", "c1"], "by": [*PEOPLE], "game": ["g1", "g2"],
    "official": ["we", "pc", "nobody"],
    "kickoff": ["2026-09-05T11:00"], "initials": ["QX", "É"], "value": ["wa", "we"],
}  # fmt: skip
"""For some of what is drawn to reach the ledger."""
CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance,
          response_schema_conformance]  # fmt: skip
SLOW = ("/open", "/list", "/sign")


def _known(schema: Any) -> Any:
    """The schema with names that are there in place of the forms of names."""
    if isinstance(schema, list):
        return [_known(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    found = {key: _known(value) for key, value in schema.items()}
    for name, column in found.get("properties", {}).items():
        if name in KNOWN and ("anyOf" in column or column.get("type") == "string"):
            found["properties"][name] = {"enum": KNOWN[name]}
    if "entries" in found.get("properties", {}):
        found["properties"]["entries"]["maxItems"] = 2
    if found.get("in") == "path":
        found["schema"] = {"enum": KNOWN.get(found["name"], ["office:1"])}
    return found


SCHEMA = schemathesis.openapi.from_dict(_known(deepcopy(schema_of_api())))
SCHEMA.config.base_url = ORIGIN
OPERATIONS = {one.ok().label: one.ok() for one in SCHEMA.get_all_operations()}


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    with served(make_ledger(tmp_path_factory.mktemp("schema"))) as server:
        yield server.browser()


ACTS = "POST /api/acts"
MOST = (ACTS, GenerationMode.POSITIVE)
MODES = [(label, GenerationMode.POSITIVE) for label in OPERATIONS if label != ACTS]
MODES += [(label, GenerationMode.NEGATIVE) for label in (*BODIES, *QUERIES)]


@pytest.mark.parametrize(("label", "mode"), MODES)
def test_by_the_schema(browser: Browser, label: str, mode: GenerationMode) -> None:
    operation = OPERATIONS[label]
    examples = 3 if label.endswith(SLOW) else 60 if (label, mode) == MOST else 12

    @settings(
        max_examples=examples,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
        database=None,
    )
    @given(case=operation.as_strategy(generation_mode=mode))
    def drawn(case: Case) -> None:
        _check(browser, case)

    drawn()


def _check(browser: Browser, case: Case) -> None:
    here = {one["official"] for one in browser.me()["people"] if one["is_confirmed"]}
    for official in {*PEOPLE} - here:
        browser.server.clock.pass_by(hours=1)  # codes that were drawn may have used up the tries
        browser.sign_in_confirmed(official)
    said = case.as_transport_kwargs(base_url=ORIGIN)
    _refer(said.get("json"))
    request = requests.Request(**{k: v for k, v in said.items() if k in ALLOWED}).prepare()
    answer = browser.send(request)
    case.validate_response(_response(answer, request), checks=CHECKS)


ALLOWED = {"method", "url", "headers", "params", "json", "data", "cookies"}


def _refer(body: Any) -> None:
    """A new act by one who may, with refs of its own: no schema can say so."""
    if isinstance(body, dict) and isinstance(body.get("entries"), list):
        if ACT.fullmatch(str(body.get("act"))):
            body["act"] = f"drawndevice-{next(NUMBERS)}"
            first = body["entries"][0] if body["entries"] else None
            body["by"] = by_for(str(first.get("kind"))) if isinstance(first, dict) else "we"
        for number, entry in enumerate(body["entries"], 1):
            if isinstance(entry, dict) and "ref" in entry:
                entry["ref"] = f"{body.get('act')}.{number}"
                if entry.get("kind") == "case_open":
                    entry["case"] = f"drawn-{next(NUMBERS)}"


ACT, NUMBERS = re.compile("[a-z0-9]{8,32}-[1-9][0-9]{0,8}"), count(1)


def _response(answer: Answer, request: requests.PreparedRequest) -> Response:
    headers = {name: [value] for name, value in answer.headers.items()}
    return Response(answer.status, headers, answer.content, request, elapsed=0.0, verify=False)


def test_some_of_what_is_drawn_is_recorded(browser: Browser) -> None:
    """Else all of this would look at refusals only."""
    test_by_the_schema(browser, *MOST)
    store = open_store(browser.server.desk.setting.ledger)
    drawn = [one for one in store.events() if one.event.data.get("ref", "").startswith("drawn")]
    store.close()
    assert len(drawn) > 1
