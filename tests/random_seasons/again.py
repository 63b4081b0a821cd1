"""The same thing stated again for the same moments, from another chain and with another answer:
only ledger order settles which of them counts.
"""

from __future__ import annotations

from typing import Any

from tests.random_seasons.builder import Builder
from tests.random_seasons.chain import DAY, HOUR, Draft, utc

OTHERWISE: dict[str, dict[str, tuple[Any, ...]]] = {
    "weigh": {"value": ("ok", "over", "no_scale")},
    "late_weigh": {"value": ("ok", "over", "no_scale")},
    "initial": {"value": ("ok", "over")},
    "plays": {"count": (0, 1, 5, 10)},
    "list": {"reason": ("over", "absent", "equipment")},
    "strike_off": {},
    "number_change": {"number": (0, 7, 20, 21)},
    "roster_add": {},
    "roster_drop": {},
    "ruling": {"may_play": ("full", "none"), "may_carry": ("yes", "no")},
    "appoint": {},
    "game_change": {},
}
INSTEAD = {
    "weigh": "late_weigh",
    "list": "strike_off",
    "roster_add": "roster_drop",
    "roster_drop": "roster_add",
}
SAME = ("initials", "half", "case", "to")


def again(b: Builder) -> None:
    said = [d for d in b.drafts if d["kind"] in OTHERWISE and d["data"].get("site") is None]
    if not said:
        return
    weighs = [d for d in said if d["kind"] in ("weigh", "late_weigh", "initial")]
    earlier = b.rng.choice(weighs[-25:] if weighs and b.rng.random() < 0.5 else said[-12:])
    kind = earlier["kind"]
    if kind in INSTEAD and b.rng.random() < 0.4:
        kind = INSTEAD[kind]
    others = [chain for chain in b.chains if chain != earlier["chain"]]
    is_bound = "case" in earlier["data"]  # a case is spoken of in the chain that opened it
    chain = b.rng.choice(others) if others and not is_bound else earlier["chain"]
    data = _data(b, kind, earlier)
    official = earlier["data"]["value"] if kind == "appoint" else None
    b.say(
        kind,
        b.when(earlier, "at"),
        b.anybody() if kind == "appoint" or b.rng.random() < 0.3 else earlier["by"],
        game=b.game_of(earlier),
        team=earlier.get("team"),
        player=earlier.get("player"),
        chain=chain,
        entered=b.when(earlier, "entered"),
        **data if official is None else data | {"value": official},
    )


def _data(b: Builder, kind: str, earlier: Draft) -> dict[str, Any]:
    data = {key: earlier["data"][key] for key in SAME if key in earlier["data"]}
    if kind == "ruling":
        data["value"] = earlier["data"]["value"]
    if kind == "ruling" and "player" not in earlier:
        return data
    if "kickoff" in earlier["data"]:
        data["kickoff"] = utc(b.when(earlier["data"], "kickoff") + b.rng.choice((HOUR, -DAY)))
    return data | {key: b.rng.choice(values) for key, values in OTHERWISE[kind].items()}
