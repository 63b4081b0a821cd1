"""What the headers of sql/ know: answers, findings, and the columns of both."""

from __future__ import annotations

import re
from collections.abc import Iterable

from ledger.derive.dictionary import MEANINGS
from ledger.derive.findings import rules
from ledger.derive.queries import Query, queries
from ledger.derive.ready import checks
from ledger.derive.rule_header import rule_header
from ledger.say.codes import DUE
from tests.contract.markdown import table

COMMON = "common practice"


def parts() -> dict[str, str]:
    """Every part by name."""
    return {
        "answers": "\n\n".join(map(_answer, _of("answers"))),
        "facts": table(["fact", "holds", "one row per"], map(_fact, _of("facts"))),
        "findings": "\n\n".join(map(_finding, rules())),
        "ready": table(["check", "sees", "rule", "one for each"], map(_check, checks())),
        "columns": table(["column", "means"], _meanings()),
    }


def _of(room: str) -> list[Query]:
    return [query for query in queries().values() if query.room == room]


def _answer(query: Query) -> str:
    head = query.header
    return "\n".join(
        [
            f"### {query.name}",
            "",
            f"{_sentence(head['purpose'])} {_sentence(head['grain'])}",
            "",
            f"- Rule: {head['rule']}.",
            f"- Columns: {', '.join(f'`{column}`' for column in query.columns)}.",
            f"- Order: {_order(query)}.",
        ]
    )


def _order(query: Query) -> str:
    """The last `order by` outside of brackets."""
    text = re.sub(r"--.*", "", query.sql)
    clause = text.rpartition("order by")[2].strip().rstrip(";")
    return " ".join(clause.split())


def _fact(query: Query) -> Iterable[str]:
    grain = query.header["grain"].removeprefix("one row per ").removeprefix("one row")
    return f"`{query.name}`", query.header["purpose"], grain


def _check(name: str) -> Iterable[str]:
    head = queries()[name].header
    grain = head["grain"].removeprefix("one row per ")
    return f"`{name}`", head["purpose"], head.get("rule") or head["procedure"], grain


def _finding(rule: str) -> str:
    said = rule_header(rule)
    source = "" if said.source in ("", COMMON) else f" Source: {said.source}."
    todo = f" Still to do: {said.todo}." if said.todo else ""
    due = f" Due by {DUE[said.due]}." if said.due else ""
    look = ", ".join(role.replace("_", " ") for role in said.look)
    return (
        f"**{said.rule}** – {said.what}. One for each {said.grain}. "
        f"Rule: {said.procedure}.{source} For: {look}.{todo}{due}"
    )


def _meanings() -> Iterable[tuple[str, str]]:
    used = {column for query in _of("answers") for column in query.columns}
    return [(f"`{name}`", said) for name, said in sorted(MEANINGS.items()) if name in used]


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
