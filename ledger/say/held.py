"""The result of comparing a paper with the ledger, in words and for programs."""

from __future__ import annotations

from typing import Any

from ledger.review.held import Held
from ledger.say import codes
from ledger.say.clock import local_time
from ledger.say.words import upper_first


def about(held: Held, zone: str, name: str) -> list[str]:
    """The paper's own account of itself: which it is, and when it was printed, a line each.

    `name` is what people call such a paper.
    """
    paper = held.paper
    given = ", ".join(
        name.replace("_", " ") + ("" if value is True else f" {value}")
        for name, value in sorted(paper.arguments.items())
    )
    printed = local_time(paper.printed_at, zone)
    what = upper_first(name)
    made = ", ".join(f"{chain}:{state['size']}" for chain, state in sorted(paper.chains.items()))
    return [
        f"{what}: {given}." if given else f"{what}.",
        f"Printed {printed} (by that device's clock) from the ledger up to {made}.",
    ]


def verdict(held: Held) -> str:
    """The verdict as a line."""
    return f"Verdict: {codes.VERDICTS[held.verdict]}."


def sentence(held: Held) -> str:
    """What the verdict means."""
    signed = (
        "The ledger's key signed for it."
        if held.signed
        else "The ledger's key did not sign for it: it was printed from a copy without one."
    )
    if held.verdict == "same":
        return f"This ledger prints exactly this file. {signed}"
    if held.verdict == "same_signed":
        return (
            f"This ledger prints this file, except for one signature added at its end. {signed} "
            f"The added signature is by {held.signer}. Check in your PDF reader that its "
            "certificate is the league's."
        )
    if held.verdict == "not_comparable":
        return f"This paper cannot be printed again as it was: {held.reason}."
    if held.verdict == "other_versions":
        agree = _AGREEMENT[held.values_agree]
        return f"{agree} Compare it on a device with those versions, or print it again here."
    return f"It is not what this ledger prints{_difference(held)}"


def other_versions(held: Held) -> list[str]:
    """The versions that made the paper, if those here differ."""
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


_AGREEMENT = {
    None: "This ledger could not make its values with the versions here.",
    True: "The values behind it are what this ledger says; the printed page was not compared.",
    False: "The values behind it are not what this ledger says with the versions here.",
}


def _difference(held: Held) -> str:
    found = held.difference
    if found is None:
        return "."
    if found.page is None:
        return f": {found.what}."
    if found.line is None:
        return f". It differs on page {found.page}: {found.what}."
    extra = found.what.removeprefix("the text differs").removeprefix("; ")
    here, there = (f"“{one}”" if one else "nothing" for one in (found.paper, found.ledger))
    return (
        f". It differs on page {found.page}, line {found.line}: this paper has {here}, the ledger "
        f"has {there}." + (f" {upper_first(extra)}." if extra else "")
    )


def _short(version: str) -> str:
    """A version, or the beginning of a digest."""
    return f"{version[:16]}…" if len(version) == 64 else version
