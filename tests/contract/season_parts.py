"""What the models know of a season folder: tables, columns, kinds, league.toml."""

from __future__ import annotations

from ledger.record import fields
from ledger.record.statements import KINDS
from ledger.say.folder_columns import Column, KindOfEntry, day_columns, kinds, tables
from ledger.say.season_folder import cells_in_words, if_blank
from ledger.say.settings import sections, settings
from tests.contract.markdown import table

KINDS_HEAD = ("kind", "needs (and may have)", "words", "says", "example")


def parts() -> dict[str, str]:
    """Every part by name."""
    return {
        "tables": _tables(),
        "roles": ", ".join(fields.ROLES) + ".",
        "league": f"```toml\n{toml()}```",
        "settings": _settings(),
        "columns": _columns(),
        "kinds": table(KINDS_HEAD, map(_kind, kinds())),
        "personal": _personal(),
        "limits": f"Initials have at most {fields.MOST_INITIALS} characters. A year, as written, "
        f"is from {fields.YEARS[0]} to {fields.YEARS[-1]}.",
    }


def toml() -> str:
    """A league.toml with every default written out; it loads as it stands."""
    lines = []
    for section, keys in sections().items():
        lines += ["", f"[{section}]"]
        for one in keys:
            value = one.default or ('"…"' if one.key == "name" else one.example)
            given = f"{one.key} = {value}"
            is_set = one.default or one.is_required
            lines.append(f"{given:<39} # {one.holds}" if is_set else f"# {given}")
    return "\n".join(lines[1:]) + "\n"


def league_keys() -> list[str]:
    """Every key of league.toml."""
    return [one.key for one in settings()]


def _settings() -> str:
    rows = [
        [f"`{one.section}`", f"`{one.key}`", one.means, f"`{one.example}`"] for one in settings()
    ]
    return table(["section", "key", "means", "example"], rows)


def _tables() -> str:
    rows = [[f"`{file}`", *_column(one)] for file, columns in tables().items() for one in columns]
    return table(["file", "column", "holds", "example"], rows)


def _columns() -> str:
    return table(["column", "holds", "example"], map(_column, day_columns()))


def _column(one: Column) -> list[str]:
    blank = "" if one.blank is None else if_blank(one)
    return [f"`{one.name}`", f"{one.holds}{blank}", f"`{one.example}`"]


def _kind(kind: KindOfEntry) -> list[str]:
    """One row of the table of kinds."""
    used = [f"*{one}*" if one == "who" else one for one in kind.needs]
    used += [f"(*{one}*)" if one == "who" else f"({one})" for one in kind.may]
    words = "; ".join(f"{column}: {', '.join(of)}" for column, of in kind.words.items())
    return [f"`{kind.name}`", ", ".join(used), words, kind.says, cells_in_words(kind.example)]


def _personal() -> str:
    free = [kind for kind, model in KINDS.items() if "reason" in model.personal]
    return "`name`, `note`, and the `reason` of " + ", ".join(f"`{kind}`" for kind in free) + "."
