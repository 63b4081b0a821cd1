"""The result of comparing a paper with the ledger: a verdict, and where the two differ."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

Verdict = Literal["same", "same_signed", "differs", "not_comparable", "other_versions"]


@dataclass(frozen=True, kw_only=True)
class PaperFile:
    """The content of paper.json (`ledger.papers.paper_file`)."""

    document: str
    arguments: Mapping[str, str | bool]
    printed_at: str
    chain: str
    chains: Mapping[str, Mapping[str, int | str]]
    keys: Sequence[str]
    values: str
    files: Mapping[str, str]
    made_by: Mapping[str, str]

    @property
    def lengths(self) -> dict[str, int]:
        return {chain: int(state["size"]) for chain, state in self.chains.items()}


@dataclass(frozen=True)
class Difference:
    """Where a paper differs from what this ledger prints; `what` says it in words.

    `page` and `line` count from 1. `page` is None outside the pages. `line` comes with both texts;
    it is None if the page's text is the same or cannot be read.
    """

    what: str
    page: int | None = None
    line: int | None = None
    paper: str = ""
    ledger: str = ""


@dataclass(frozen=True, kw_only=True)
class Held:
    """The result of comparing a paper with a ledger.

    `signed`: the chain's key signed it. `difference` comes with "differs", `reason` with
    "not_comparable", `others` (name, then, here) and `values_agree` with "other_versions";
    `values_agree` is None if the values could not be made here. `signer` is the name in the
    certificate of a signature that follows the paper's own bytes.
    """

    verdict: Verdict
    paper: PaperFile
    signed: bool = False
    difference: Difference | None = None
    reason: str = ""
    others: tuple[tuple[str, str, str], ...] = ()
    values_agree: bool | None = None
    signer: str = ""

    @property
    def ok(self) -> bool:
        return self.verdict in ("same", "same_signed")
