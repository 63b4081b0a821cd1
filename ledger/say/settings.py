"""The settings of league.toml: what each holds and means, its default, an example.

Names, types and defaults come from the models in `ledger.record.league`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ledger.record.hints import hints
from ledger.record.league import Rules, read_league
from ledger.say.folder_types import setting_type

REQUIRED = {"name": "…", "season": "2026", "time_zone": "America/Chicago"}
"""The three settings without a default, as the page shows them."""

_MEANS = {
    "name": "The league's name.",
    "season": "The season, as papers print it.",
    "time_zone": "Times without an offset are in this zone.",
    "opens_before_kickoff_min": "The weigh-in opens this many minutes before kickoff.",
    "first_to_weigh": "The team that weighs first.",
    "attempts": "How many weighs on the scale a player has.",
    "late_players": "What a player may play who is weighed late, but before the first half ends.",
    "check_weight_lb": "The check weight. With d, it sets how far off a check may be.",
    "scale_division_lb": "The value of one scale division, d.",
    "max_weighmasters_per_team": "How many of a team's weighmasters may stand at the scale.",
    "entered_late_after_min": "After this many minutes, an entry counts as written down late.",
    "declared_over_may_skip_scale": "Whether a player listed as over may play without a weigh, and "
    "not carry.",
    "training_valid_days": "How long training counts. 0: the league does not ask for it.",
    "limit_allowance": "Pounds added to every division's limit, for games whose local date is on "
    "or after `from`. The latest one counts. A date has one allowance.",
    "minimum": "Plays due to each player who may play.",
    "by_squad_size": "Instead of `minimum`: `up_to` rises from step to step, and only the last "
    "step has none.",
    "roster": "Who rules on cases about the roster, in order.",
    "other": "Who rules on all other cases, in order.",
    "protest_within_hours": "How long after the second half a protest may come.",
    "decide_within_days": "How long after its opening a case should be decided.",
    "gear": "What to wear at the scale.",
    "shoes": "The shoes to wear at the scale.",
    "stripe": "What the stripe on a helmet looks like.",
    "distance": "Who keeps away from the scale, and how far.",
    "keep_personal_until": "The date of the league's written retention rule. Empty: none yet.",
}
OF_SECTIONS = {"card": "The league's own words on the weighmasters' card."}
_EXAMPLES = {
    "name": '"Invented Meadows Youth Football League"',
    "training_valid_days": "400",
    "limit_allowance": '[{from = "2026-10-01", lb = 2}]',
    "by_squad_size": "[{up_to = 20, minimum = 12}, {minimum = 10}]",
    "gear": '["Jersey, pants, shoulder pads, and the pads you play in."]',
    "shoes": '["The shoes the child will play in."]',
    "stripe": '["Tape one inch wide, front and back."]',
    "distance": '["Coaches stay 50 ft away from the scale."]',
    "keep_personal_until": '"2027-06-30"',
}


@dataclass(frozen=True)
class Setting:
    """One key of league.toml; values are TOML. `default` is "" if there is none."""

    section: str
    key: str
    holds: str
    means: str
    default: str
    example: str

    @property
    def is_required(self) -> bool:
        return self.key in REQUIRED


def settings() -> list[Setting]:
    """Every setting, in the order of the models."""
    defaults = _defaults()
    found = []
    for section, model in hints(Rules).items():
        for key, hint in hints(model).items():
            default = defaults.get((section, key), "")
            example = _EXAMPLES.get(key) or default or f'"{REQUIRED[key]}"'
            holds = setting_type(key, hint)
            found.append(Setting(section, key, holds, _MEANS[key], default, example))
    return found


def sections() -> dict[str, list[Setting]]:
    """The settings by section."""
    by_section: dict[str, list[Setting]] = {}
    for one in settings():
        by_section.setdefault(one.section, []).append(one)
    return by_section


def toml_text(text: str) -> str:
    """A basic string of TOML (version 1.0.0, section "String")."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    plain = (f"\\u{ord(c):04x}" if ord(c) < 32 or ord(c) == 127 else c for c in escaped)
    return f'"{"".join(plain)}"'


def _defaults() -> dict[tuple[str, str], str]:
    """The default of each setting that has one, as TOML."""
    lines = [f"{key} = {toml_text(value)}" for key, value in REQUIRED.items()]
    accepted, _ = read_league("\n".join(["[league]", *lines]))
    assert accepted is not None
    found: dict[tuple[str, str], str] = {}
    for section, model in hints(Rules).items():
        values: Mapping[str, Any] = accepted.data.get(section, {})
        for key in model.model_fields:
            stored = f"{key.removesuffix('_lb')}_clb" if key.endswith("_lb") else key
            if stored in values:
                value = values[stored] / 100 if stored != key else values[stored]
                found[section, key] = _as_toml(value)
    return found


def _as_toml(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(_as_toml, value))}]"
    return toml_text(value) if isinstance(value, str) else str(value)
