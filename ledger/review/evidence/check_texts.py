"""The texts of a bundle that its proof makes: remade, and compared.

1. statements.csv: every cell, against the proved entries.
2. bag-info.txt: the league and season that an entry names, and the case that one opens.
3. README.txt, certification.txt, check_bundle.py and answers/dictionary.txt: word for word, where
   this version of the program made them. Another version has other words: that is said, and is
   no difference.

The other tables are not among them: the program derived them from a whole ledger.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib.metadata import version
from importlib.resources import files as package_files
from itertools import zip_longest

from ledger.chain.event import Event
from ledger.derive.dictionary import format_dictionary
from ledger.errors import InputError, IntegrityError
from ledger.record.kinds import CASE
from ledger.record.withdrawals import with_withdrawals
from ledger.review.evidence.answers import describe_tables
from ledger.review.evidence.facts import Facts, Texts, digests_of
from ledger.review.evidence.statements import TABLE, statements_csv
from ledger.witness.checked import CheckedProof, Differences

STATEMENTS = "answers/statements.csv"
CHECKER = "check_bundle.py"
_MADE_LAST = ("README.txt", "certification.txt", CHECKER)
_INFO = re.compile(
    "Source-Organization: (.+)\nExternal-Description: Evidence of the season (.+) about one case\n"
    "External-Identifier: ([A-Za-z0-9._-]+)\nBagging-Date: .+\nBag-Software-Agent: (.+)\n"
    "Payload-Oxum: .+\n"
)


def check_texts(
    info: bytes,
    payload: Mapping[str, bytes],
    checked: CheckedProof,
    texts: Texts,
    found: Differences,
) -> str:
    """In words, what was not compared, and why; "" where all was. Differences go into `found`.

    `info` is bag-info.txt, `payload` the files by their path below data/.
    """
    with found.noting(f"data/{STATEMENTS}"):
        _check_statements(payload.get(STATEMENTS, b""), checked)
    with found.noting("bag-info.txt"):
        facts = facts_of(info, payload, checked)
        if facts.software != f"weighbook {version('weighbook')}":
            return f"Its texts are by {facts.software}: not compared with ours."
        found += [
            f"data/{path}: not as this version writes it, {_first_line(there, right)}"
            for path, right in remade(facts, checked, texts).items()
            if (there := payload.get(path, b"")) != right
        ]
    return ""


def remade(facts: Facts, checked: CheckedProof, write: Texts) -> dict[str, bytes]:
    """The texts that this version writes into a bundle, by path below data/."""
    texts = {**write(facts, checked), "answers/dictionary.txt": _dictionary()}
    made = {path: text.encode() for path, text in texts.items()}
    return made | {CHECKER: package_files(__package__).joinpath(CHECKER).read_bytes()}


def case_of(info: bytes) -> str:
    """The case that bag-info.txt names; "" where it names none."""
    match = _INFO.fullmatch(info.decode("utf-8", "replace"))
    return match[3] if match else ""


def _check_statements(data: bytes, checked: CheckedProof) -> None:
    there, right = _cells(data), _cells(statements_csv(checked))
    names = [column.name for column in TABLE.columns]
    nothing: list[str] = []
    pairs: Iterator[tuple[list[str], list[str]]] = zip_longest(there, right, fillvalue=nothing)
    for row, other in pairs:
        for name, cell, says in zip_longest(names, row, other):
            if cell != says:
                of = (other or row or ["?"])[0]
                raise IntegrityError(f"{name} of {of[:60]} is not what events.json says")


def _cells(data: bytes) -> list[list[str]]:
    try:
        return [*csv.reader(io.StringIO(data.decode(), newline=""), strict=True)]
    except (UnicodeDecodeError, csv.Error) as error:
        raise InputError("not a table that can be read") from error


def facts_of(info: bytes, payload: Mapping[str, bytes], checked: CheckedProof) -> Facts:
    """What the texts say of the bundle, by bag-info.txt, the files and the proof.

    Raises InputError or IntegrityError where bag-info.txt does not fit the proof.
    """
    match = _INFO.fullmatch(info.decode("utf-8", "replace"))
    if not match:
        raise InputError("it has another form than weighbook gives it")
    league, season, case, software = match.groups()
    leagues = [event.data for event in checked.events if event.kind == "league"]
    if (league, season) not in [(_of(one, "name"), _of(one, "season")) for one in leagues]:
        raise IntegrityError("no statement here is of this league and season")
    own = _own(checked.events, case)
    if not any(event.kind == "case_open" for event in own):
        raise InputError(f"no statement here opens the case {case}")
    evidence = {path: payload[path] for path in payload if path not in _MADE_LAST}
    return Facts(
        league=league,
        season=season,
        case=case,
        games=tuple(sorted({event.game for event in own if event.game})),
        software=software,
        states=tuple(chain.state.checkpoint for chain in checked.chains if chain.state),
        digests=digests_of(evidence),
    )


def _of(league: Mapping[str, object], key: str) -> str:
    return " ".join(str(league.get(key)).split())


def _own(events: Sequence[Event], case: str) -> list[Event]:
    """The case's own statements, and what withdraws them."""
    own = (e.id for e in events if e.kind in CASE and e.data.get("case") == case)
    taken = [(e.id, str(e.data.get("target"))) for e in events if e.kind == "withdraw"]
    ids = with_withdrawals(own, taken)
    return [event for event in events if event.id in ids]


@cache
def _dictionary() -> str:
    return format_dictionary([*describe_tables(), TABLE])


def _first_line(there: bytes, right: bytes) -> str:
    lines: Iterator[tuple[bytes, bytes]] = zip_longest(
        there.split(b"\n"), right.split(b"\n"), fillvalue=b""
    )
    number = next((n for n, (one, other) in enumerate(lines, 1) if one != other), 0)
    return f"line {number}"
