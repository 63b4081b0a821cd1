"""The table in README.md here: which attack, who noticed, as what, how many were tried."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from functools import partial

from tests.audit.attacks import (
    acts,
    columns,
    commands,
    corrections,
    forged_keys,
    personal,
    phones,
    rebuilds,
    rows,
    schema,
    signatures,
    tails,
    third_chain,
)
from tests.audit.attacks.attack import (
    AUDIT,
    COPY,
    FINDING,
    NOBODY,
    NOTE,
    SAME,
    STATE,
    Attack,
    Outcome,
    numbered,
)

BEGIN, END = "<!-- tamper table -->", "<!-- end of tamper table -->"
GROUPS: dict[str, Callable[[], Iterator[Attack]]] = {
    "columns changed": partial(columns.attacks, columns.CHANGED),
    "columns emptied": partial(columns.attacks, columns.EMPTIED),
    "columns stored otherwise": partial(columns.attacks, columns.RETYPED),
    "rows": rows.attacks,
    "tails": tails.attacks,
    "rebuilds": rebuilds.attacks,
    "forged keys": forged_keys.attacks,
    "signatures": signatures.attacks,
    "acts": acts.attacks,
    "phones": phones.attacks,
    "personal": personal.attacks,
    "schema": schema.attacks,
    "third chain": third_chain.attacks,
    "commands": commands.attacks,
    "corrections": corrections.attacks,
}
"""No line of the table has attacks of two groups."""


def all_attacks() -> list[Attack]:
    """Every attack, in the order of the table."""
    return numbered(attack for group in GROUPS.values() for attack in group())


def format_table(outcomes: Iterable[tuple[Attack, Outcome]]) -> str:
    """Return the rows in Markdown; what nobody notices comes last."""
    counts: Counter[tuple[str, str]] = Counter()
    classes: dict[tuple[str, str], set[str]] = {}
    for attack, outcome in outcomes:
        key = (outcome.noticed_by, attack.row)
        counts[key] += 1
        classes.setdefault(key, set()).update(outcome.classes)
    lines = ["| attack | caught by | as | tried |", "|---|---|---|---|"]
    for noticed_by in _WORDS:
        for (by, line), count in counts.items():
            if by == noticed_by:
                told = ", ".join(sorted(classes[by, line])) or "–"
                lines.append(f"| {line} | {_WORDS[by]} | {told} | {count:,} |")
    lines.append(f"| all | | | {sum(counts.values()):,} |")
    return "\n".join(lines)


def table_in(text: str) -> str:
    """The table between the marks in README.md."""
    return text.partition(BEGIN)[2].partition(END)[0].strip()


def with_table(text: str, table: str) -> str:
    """The text with this table between its marks."""
    before, _, rest = text.partition(BEGIN)
    return f"{before}{BEGIN}\n{table}\n{END}{rest.partition(END)[2]}"


_WORDS = {
    AUDIT: "audit",
    COPY: "audit --since",
    FINDING: "a finding",
    STATE: "the signature's state",
    NOTE: "a note of the audit",
    NOBODY: "nobody",
    SAME: "nobody; the list is what was signed",
}
