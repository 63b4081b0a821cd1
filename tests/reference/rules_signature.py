"""Findings: what came behind a signature. A rule a function."""

from __future__ import annotations

from tests.reference.scene import Findings, Scene, each
from tests.reference.state import Season
from tests.reference.statements import Statement

BY_KEY = ("key", "device")
SIGNED_ABOUT = ("weigh", "late_weigh", "initial", "list", "strike_off", "stripe")


def is_by_key_or_with_scan(countersign: Statement) -> bool:
    """ "By key or with a scan"; "signatures of a season folder are on the sheet"."""
    return countersign.data.get("how") in BY_KEY or "scan" in countersign.data


def covers(countersign: Statement, said: Statement) -> bool:
    """ "The events before it in its own chain and, of every chain that it names, those up to the
    length named. Everything else comes after it."
    """
    if said.chain == countersign.chain:
        return said.seq < countersign.seq
    named = countersign.data.get("others", {}).get(said.chain)
    return named is not None and said.seq <= int(named["size"])


def what_it_is_about(season: Season, said: Statement) -> Statement | None:
    """The statement itself, or the one that a withdrawal, or a withdrawal of such a withdrawal,
    takes away or gives back; None while that was not entered by the as-of.
    """
    if said.kind != "withdraw":
        return said
    target = season.by_id.get(said.data["target"])
    return None if target is None else what_it_is_about(season, target)


def stated_behind_signature(scene: Scene) -> Findings:
    """Game team (each): a weigh, late_weigh, initial, list, strike_off or stripe about this team in
    this game, or a withdrawal of one or of such a withdrawal, is not covered by some
    countersignature of that team's list by key or with a scan (a withdrawn one too), and its
    `entered` is at or before that countersignature's `recorded`: whoever signed may not have seen
    it (signatures of a season folder are on the sheet, and never raise it).
    """
    season = scene.season
    signatures = [
        said
        for said in season.by_id.values()
        if said.kind == "countersign"
        and said.game == scene.game.id
        and is_by_key_or_with_scan(said)
    ]
    for said in season.of_kind(*SIGNED_ABOUT, "withdraw") if signatures else []:
        about = what_it_is_about(season, said)
        if about is None or about.kind not in SIGNED_ABOUT or about.game != scene.game.id:
            continue
        of_team = [signature for signature in signatures if signature.team == about.team]
        if any(said.entered <= sign.recorded and not covers(sign, said) for sign in of_team):
            assert about.team is not None
            yield each(scene.found(about.team), said)


RULES = (stated_behind_signature,)
