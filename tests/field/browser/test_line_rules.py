"""The pure parts of the line: what an answer states, what take back takes, who is meant."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.field.browser.pages import MODULE, call, opened
from tests.field.site import Site

CHILD = {
    "player": "k1", "number": 1, "on_roster": True, "mark": {"value": "ok"}, "weighs": [],
    "lists": [], "listed": [], "initials": [], "striped": False, "done": False,
}  # fmt: skip
MOMENT = {
    "team": "newts", "late": False, "plays": True, "out": False, "initials": "IL", "attempts": 1,
}  # fmt: skip
WITH_SETS = f"""async ([name, child, ...given]) => {{
  const answers = await import({MODULE} + "line/answers.js");
  return answers[name]({{ ...child, listed: new Set(child.listed) }}, ...given);
}}"""
FIRST_OVER = {"value": "over", "at": "2026-09-05T13:40:00.000Z", "kind": "weigh"}


@pytest.fixture(scope="module")
def page(line_site: Site, chromium: Browser) -> Iterator[Page]:
    context = chromium.new_context()
    yield opened(context, line_site)
    context.close()


def asked(page: Page, name: str, child: dict[str, Any], *given: Any) -> Any:
    return page.evaluate(WITH_SETS, [name, CHILD | child, *given])


def said(entries: Any) -> list[tuple[str, str | None]]:
    return [(one["kind"], one.get("value") or one.get("reason")) for one in entries]


@pytest.mark.parametrize(
    ("child", "value", "moment", "entries"),
    [
        ({}, "ok", {}, [("weigh", "ok")]),
        ({}, "over", {}, [("weigh", "over"), ("list", "over")]),
        ({"mark": None}, "ok", {}, [("weigh", "ok"), ("initial", "ok")]),
        ({"listed": ["over"]}, "over", {}, [("weigh", "over")]),
        ({"listed": ["over"]}, "ok", {}, [("weigh", "ok"), ("strike_off", "over")]),
        ({}, "over", {"late": True}, [("late_weigh", "over"), ("list", "over")]),
        ({}, "over", {"late": True, "plays": False}, [("late_weigh", "over")]),
        ({"mark": None}, "no_scale", {"out": True}, [("weigh", "no_scale")]),
        ({"mark": {"value": "over"}}, "no_scale", {}, [("weigh", "no_scale"), ("list", "over")]),
        ({"mark": None}, "over", {"attempts": 2}, [("weigh", "over")]),
        (
            {"mark": None, "weighs": [FIRST_OVER]}, "over", {"attempts": 2},
            [("weigh", "over"), ("initial", "over"), ("list", "over")],
        ),
        (
            {"mark": None, "weighs": [FIRST_OVER]}, "ok", {"attempts": 2},
            [("weigh", "ok"), ("initial", "ok")],
        ),
    ],
)  # fmt: skip
def test_an_answer(
    page: Page, child: dict[str, Any], value: str, moment: dict[str, Any], entries: Any
) -> None:
    assert said(asked(page, "answer", child, value, MOMENT | moment)) == entries


def test_listings_are_crossed_off_by_reason(page: Page) -> None:
    entries = asked(page, "answer", {}, "ok", MOMENT, ["absent", "equipment", "injured"])
    assert said(entries) == [("weigh", "ok"), ("strike_off", None), ("strike_off", "injured")]


def test_one_more_try_where_the_league_has_two(page: Page) -> None:
    tried = {"done": True, "weighs": [FIRST_OVER]}
    assert asked(page, "stage", tried, MOMENT | {"attempts": 2}) == "second"
    assert asked(page, "stage", tried | {"initials": [{}]}, MOMENT | {"attempts": 2}) == "done"
    assert asked(page, "stage", tried, MOMENT) == "done"
    without = {"done": True, "weighs": [FIRST_OVER | {"value": "no_scale"}]}
    assert asked(page, "stage", without, MOMENT) == "answer"
    assert asked(page, "stage", without, MOMENT | {"out": True}) == "done"


def test_who_must_still_come(page: Page) -> None:
    assert asked(page, "isToCome", {"listed": ["over"]})
    assert not asked(page, "isToCome", {"listed": ["absent"]})
    assert not asked(page, "isToCome", {"listed": ["over"], "declared": True})
    assert not asked(page, "isToCome", {"on_roster": False})


def test_finding(page: Page) -> None:
    children = [
        {"player": "a", "number": 2, "name": "Solveig Blåbærsen"},
        {"player": "b", "number": 21, "name": "Maeve O'Dandelow"},
        {"player": "c", "number": 21, "name": "Pip Thimbleberry"},
        {"player": "d", "number": None, "name": None},
    ]

    def found(typed: str) -> tuple[list[str], str | None]:
        all_found = call(page, "line/finding.js", "find", children, typed)
        one = call(page, "line/finding.js", "chosen", all_found)
        return [child["player"] for child in all_found["all"]], one and one["player"]

    assert found("2") == (["a", "b", "c"], "a")
    assert found("21") == (["b", "c"], None)
    assert found("dand") == (["b"], "b")
    assert found("BLAB") == (["a"], "a")
    assert found("x") == ([], None)
    assert found("") == (["a", "b", "c", "d"], None)


def entry(ref: str, kind: str, player: str = "k1", **more: Any) -> dict[str, Any]:
    return {"ref": ref, "kind": kind, "team": "newts", "player": player} | more


def act(name: str, *entries: dict[str, Any], by: str = "me") -> dict[str, Any]:
    return {"act": name, "by": by, "entries": list(entries)}


def test_take_back_takes_the_tape_with_the_answer(page: Page) -> None:
    listed = act("x-1", entry("x-1.1", "list", reason="absent"))
    answer = act("x-2", entry("x-2.1", "weigh"), entry("x-2.2", "list"))
    other = act("y-1", entry("y-1.1", "weigh", "k2"), by="other")
    tape = act("x-3", entry("x-3.1", "stripe"))
    acts = [listed, answer, other, tape]

    def last(*more: Any) -> list[str] | None:
        tap = call(page, "line/taken_back.js", "lastTap", [*acts, *more], "me", "newts")
        return tap and [one["ref"] for one in tap["entries"]]

    assert last() == ["x-2.1", "x-2.2", "x-3.1"]
    targets = [{"kind": "withdraw", "target": ref} for ref in ("x-2.1", "x-2.2", "x-3.1")]
    back = act("x-4", *({"ref": f"x-4.{n}"} | one for n, one in enumerate(targets, 1)))
    assert last(back) == ["x-1.1"]
    taken = call(page, "line/taken_back.js", "lastTakenBack", [*acts, back], "me", "newts")
    assert taken["player"] == "k1"
    again = act(
        "x-5", *({"kind": "withdraw", "target": f"x-4.{n}", "ref": f"x-5.{n}"} for n in (1, 2, 3))
    )
    assert last(back, again) == ["x-2.1", "x-2.2", "x-3.1"]
