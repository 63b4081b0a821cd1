"""Every paper: its command, its arguments and its maker.

A paper is a folder of `report_templates/` and a module here. `document.toml` of the folder has a
table for each command of `weighbook print` (the fields of `Document`), and before them the `name`
of the paper for people, unless that is the folder's own: `blank_list` without one would be "blank
list". Makers are named, not imported: a list does not wait for imports that only packets need.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from importlib import import_module
from tomllib import loads
from typing import TYPE_CHECKING, cast

from ledger.errors import InputError
from ledger.resources import folder

if TYPE_CHECKING:
    from ledger.papers.press.heads import Heads
    from ledger.papers.press.sheet import Sheet

Arguments = Mapping[str, str | bool]
_MOMENTS = ("as_of", "known_at")


@dataclass(frozen=True, kw_only=True)
class Document:
    """A paper: `weighbook print COMMAND` with `needs`, then `may`, in order.

    `template` is its folder, `name` what people call the paper. `maker` is "module.function" of
    this room. It takes a ledger's `Heads` and, by name, all of `needs` and any of `may`, of
    `options` (name to help) and, if it `has_moments`, of as_of and known_at. `says` are fixed
    arguments in its paper.json. `print --help` shows `label` and `help`.
    """

    command: str
    template: str
    name: str
    maker: str
    label: str
    help: str
    needs: tuple[str, ...] = ()
    may: tuple[str, ...] = ()
    options: Mapping[str, str] = field(default_factory=dict)
    has_moments: bool = False
    says: Mapping[str, bool] = field(default_factory=dict)

    @property
    def optional(self) -> set[str]:
        """The optional arguments."""
        return {*self.may, *self.options, *(_MOMENTS if self.has_moments else ())}

    def make(self, heads: Heads, arguments: Arguments) -> Sheet:
        """The paper at the moment of `heads`; InputError if the ledger has no such paper."""
        module, _, function = self.maker.partition(".")
        maker = getattr(import_module(f"ledger.papers.sheets.{module}"), function)
        return cast("Sheet", maker(heads, **arguments))

    def takes(self, arguments: Arguments) -> bool:
        """Whether a paper.json with these arguments belongs to this document."""
        given = arguments.keys() - self.says
        said = self.says.items() <= arguments.items()
        return said and set(self.needs) <= given <= {*self.needs, *self.optional}


def _read() -> Iterator[Document]:
    for path in sorted(folder("report_templates").glob("*/document.toml")):
        template = path.parent.name
        rows = loads(path.read_text(encoding="utf-8"))
        name = rows.pop("name", template.replace("_", " "))
        for command, row in rows.items():
            yield Document(command=command, template=template, name=name, **row)


DOCUMENTS = tuple(_read())


def name_of(template: str) -> str:
    """What people call this paper; an unknown one goes by its folder's name."""
    return next((one.name for one in DOCUMENTS if one.template == template), template)


def make_again(heads: Heads, template: str, arguments: Arguments) -> Sheet:
    """The paper of a paper.json, at the moment of `heads`.

    Raises InputError for an unknown document, and for arguments unknown here or to this ledger.
    """
    rows = [one for one in DOCUMENTS if one.template == template]
    if not rows:
        known = ", ".join(sorted({one.template for one in DOCUMENTS}))
        raise InputError(f"unknown paper {template!r}", hint=f"Papers are: {known}.")
    for one in rows:
        if one.takes(arguments):
            return one.make(heads, {k: v for k, v in arguments.items() if k not in one.says})
    needed = " or ".join(", ".join(one.needs) or "nothing" for one in rows)
    optional = ", ".join(sorted(set().union(*(one.optional for one in rows)))) or "nothing"
    hint = f"It needs: {needed}. Optional: {optional}."
    raise InputError(f"the paper {template!r} does not take these arguments", hint=hint)
