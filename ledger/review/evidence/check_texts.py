"""Write the texts of a bundle again from its proof, and compare.

1. statements.csv: every cell, against the proved entries.
2. bag-info.txt: the league, the season and the case, against entries that name them.
3. README.txt, certification.txt, check_bundle.py and answers/dictionary.txt: word for word, if the
   same wording made them (`agent`). If not, the verdict says that they were not compared.

The other tables are not compared: the program derived them from a whole ledger.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from importlib.resources import files as package_files
from itertools import zip_longest

from ledger.chain.checkpoint import Checkpoint
from ledger.derive.dictionary import format_dictionary
from ledger.errors import InputError, IntegrityError
from ledger.record.kinds import CASE
from ledger.record.withdrawals import with_withdrawals
from ledger.review.evidence.answers import describe_tables
from ledger.review.evidence.statements import TABLE, statements_csv
from ledger.witness.checked import CheckedProof, Differences

SOFTWARE = "weighbook"
STATEMENTS, DICTIONARY = "answers/statements.csv", "answers/dictionary.txt"
CHECKER = "check_bundle.py"
_MADE_LAST = ("README.txt", "certification.txt", CHECKER)
ALWAYS = (*_MADE_LAST, "checkpoint.txt", "events.json", "keys.txt", DICTIONARY, STATEMENTS)
"""Files of every bundle, below data/."""
_INFO = re.compile(
    "Source-Organization: (.+)\nExternal-Description: Evidence of the season (.+) about one case\n"
    "External-Identifier: ([A-Za-z0-9._-]+)\nBagging-Date: .+\nBag-Software-Agent: (.+)\n"
    "Payload-Oxum: .+\n"
)


@dataclass(frozen=True)
class Facts:
    """The facts of a bundle; `digests` (hex) are of payload files, by path below data/."""

    league: str
    season: str
    case: str
    games: tuple[str, ...]
    software: str
    states: tuple[Checkpoint, ...]
    digests: Mapping[str, str]


Texts = Callable[[Facts, CheckedProof], Mapping[str, str]]
"""Writes README.txt and certification.txt, by path below data/."""


def check_texts(
    info: bytes,
    payload: Mapping[str, bytes],
    checked: CheckedProof,
    texts: Texts,
    found: Differences,
) -> str:
    """Add differences to `found`; return a sentence on what was not compared, or "".

    `info` is bag-info.txt, `payload` the files by their path below data/.
    """
    with found.noting(f"data/{STATEMENTS}"):
        _check_statements(payload.get(STATEMENTS, b""), checked)
    with found.noting("bag-info.txt"):
        facts = facts_of(info, payload, checked)
        if (maker := _elements(info)[3]) != agent():
            return f"Texts not compared: another version of the program wrote them ({maker})."
        found += [
            f"data/{path}: not as this version writes it, {_first_line(there, right)}"
            for path, right in remade(facts, checked, texts).items()
            if (there := payload.get(path, b"")) != right
        ]
    return ""


@cache
def agent() -> str:
    """Name and version of the program, and the start of a SHA-256 of everything that words texts.

    Words change more often than versions. A bundle in other words still holds.
    """
    say = package_files("ledger").joinpath("say").iterdir()
    words = {file.name: file.read_bytes() for file in say if file.name.endswith(".py")}
    words |= {CHECKER: _checker(), DICTIONARY: _dictionary().encode()}
    digest = sha256(b"".join(words[name] for name in sorted(words))).hexdigest()
    return f"{SOFTWARE} {version(SOFTWARE)} (words {digest[:16]})"


def remade(facts: Facts, checked: CheckedProof, write: Texts) -> dict[str, bytes]:
    """The texts that this version writes into a bundle, by path below data/."""
    texts = {**write(facts, checked), DICTIONARY: _dictionary()}
    return {path: text.encode() for path, text in texts.items()} | {CHECKER: _checker()}


def case_of(info: bytes) -> str:
    """The case that bag-info.txt names, or ""."""
    try:
        return _elements(info)[2]
    except InputError:
        return ""


def facts_of(info: bytes, payload: Mapping[str, bytes], checked: CheckedProof) -> Facts:
    """Return the facts of a bundle. Raises LedgerError if bag-info.txt does not fit the proof."""
    named = _elements(info)
    leagues = [event.data for event in checked.events if event.kind == "league"]
    if named[:2] not in [league_and_season(one) for one in leagues]:
        raise IntegrityError("no entry here names this league and season")
    return make_facts(named, payload, checked)


def make_facts(
    named: tuple[str, ...], payload: Mapping[str, bytes], checked: CheckedProof
) -> Facts:
    """Return the facts of a bundle; `named` are its league, season, case and software.

    Raises InputError if no entry opens the case.
    """
    league, season, case, maker = named
    cases = (e.id for e in checked.events if e.kind in CASE and e.data.get("case") == case)
    taken = [(e.id, str(e.data.get("target"))) for e in checked.events if e.kind == "withdraw"]
    ids = with_withdrawals(cases, taken)
    own = [event for event in checked.events if event.id in ids]
    if not any(event.kind == "case_open" for event in own):
        raise InputError(f"no entry here opens the case {case}")
    files = sorted(payload.keys() - _MADE_LAST)
    return Facts(
        league=league,
        season=season,
        case=case,
        games=tuple(sorted({event.game for event in own if event.game})),
        software=maker.partition(" (")[0],
        states=tuple(chain.state.checkpoint for chain in checked.chains if chain.state),
        digests={path: sha256(payload[path]).hexdigest() for path in files},
    )


def league_and_season(league: Mapping[str, object]) -> tuple[str, str]:
    """Return the two names that a league's data gives, without line breaks."""
    name, season = (" ".join(str(league.get(key)).split()) for key in ("name", "season"))
    return name, season


def _elements(info: bytes) -> tuple[str, ...]:
    """League, season, case and software of bag-info.txt. Raises InputError."""
    match = _INFO.fullmatch(info.decode("utf-8", "replace"))
    if not match:
        raise InputError("not in the form that weighbook writes")
    return match.groups()


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
        raise InputError("this table cannot be read") from error


def _checker() -> bytes:
    return package_files(__package__).joinpath(CHECKER).read_bytes()


@cache
def _dictionary() -> str:
    return format_dictionary([*describe_tables(), TABLE])


def _first_line(there: bytes, right: bytes) -> str:
    lines: Iterator[tuple[bytes, bytes]] = zip_longest(
        there.split(b"\n"), right.split(b"\n"), fillvalue=b""
    )
    return f"line {next((n for n, (one, other) in enumerate(lines, 1) if one != other), 0)}"
