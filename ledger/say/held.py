"""What holding a paper against the ledger gave, in words and for programs."""

from __future__ import annotations

from typing import Any

from ledger.review.held import Held
from ledger.say import codes
from ledger.say.clock import local_time
from ledger.say.words import upper_first


def about(held: Held, zone: str) -> list[str]:
    """Which paper it says it is, and when it was printed, a line each."""
    paper = held.paper
    given = ", ".join(
        name.replace("_", " ") if value is True else f"{name.replace('_', ' ')} {value}"
        for name, value in sorted(paper.arguments.items())
    )
    printed = local_time(paper.printed_at, zone)
    what = upper_first(codes.DOCUMENTS.get(paper.document, paper.document))
    made = ", ".join(f"{chain}:{state['size']}" for chain, state in sorted(paper.chains.items()))
    return [
        f"{what}: {given}." if given else f"{what}.",
        f"Printed {printed}, by that device's clock, from the ledger up to {made}.",
    ]


def verdict(held: Held) -> str:
    """The verdict as a line."""
    return f"Verdict: {codes.VERDICTS[held.verdict]}."


def sentence(held: Held) -> str:
    """What the verdict means."""
    signed = (
        "The ledger's key signed for it."
        if held.signed
        else "No key of the ledger signed for it: it was printed from a copy that holds none."
    )
    if held.verdict == "same":
        return f"This ledger prints exactly this file. {signed}"
    if held.verdict == "same_signed":
        return (
            f"This ledger prints exactly what this file begins with. {signed} Behind it stands one "
            f"signature by {held.signer}, and nothing else. Whether that certificate is the "
            "league's was not checked: your PDF reader tells."
        )
    if held.verdict == "not_comparable":
        return f"This paper cannot be made again as it was: {held.reason}."
    if held.verdict == "other_versions":
        return f"{_agreement(held)} Compare it where those versions are, or print it again here."
    return _difference(held)


def other_versions(held: Held) -> list[str]:
    """What made the paper, where another version of it is here."""
    return [
        f"{name}: made by {_short(then)}, here {_short(now)}" for name, then, now in held.others
    ]


def as_json(held: Held) -> dict[str, Any]:
    """The verdict for programs."""
    paper, found = held.paper, held.difference
    return {
        "ok": held.ok,
        "verdict": held.verdict,
        "document": paper.document,
        "arguments": dict(paper.arguments),
        "printed_at": paper.printed_at,
        "chains": {chain: dict(state) for chain, state in paper.chains.items()},
        "signed_by_ledger": held.signed,
        "signed_by": held.signer or None,
        "difference": found.what if found else None,
        "page": found.page if found else None,
        "line": found.line if found else None,
        "on_paper": found.paper if found and found.line else None,
        "in_ledger": found.ledger if found and found.line else None,
        "reason": held.reason or None,
        "versions": [
            {"name": name, "then": then, "here": here} for name, then, here in held.others
        ],
        "values_agree": held.values_agree,
    }


def _agreement(held: Held) -> str:
    if held.values_agree is None:
        return "This ledger could not make its values with the versions here."
    if held.values_agree:
        return "What it was to show is what this ledger says; what is printed was not compared."
    return "What it was to show is not what this ledger says with the versions here."


def _difference(held: Held) -> str:
    found = held.difference
    if found is None:
        return "It is not what this ledger prints."
    if found.page is None:
        return f"It is not what this ledger prints: {found.what}."
    where = f"page {found.page}"
    if found.line is None:
        return f"It is not what this ledger prints. It differs on {where}: {found.what}."
    extra = found.what.removeprefix("the text differs").removeprefix("; ")
    return (
        f"It is not what this ledger prints. It differs at {where}, line {found.line}: this paper "
        f"has {_quoted(found.paper)}, the ledger has {_quoted(found.ledger)}."
        + (f" {upper_first(extra)}." if extra else "")
    )


def _quoted(text: str) -> str:
    return f"“{text}”" if text else "nothing"


def _short(version: str) -> str:
    """A version; of a digest its beginning."""
    return f"{version[:16]}…" if len(version) == 64 else version
