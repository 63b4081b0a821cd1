"""python -m tests.audit.attacks [--write]: run every attack, print or write README.md's table."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.audit.attacks.attack import carry_out
from tests.audit.attacks.table import all_attacks, format_table, table_in, with_table

README = Path(__file__).with_name("README.md")


def main(write: bool) -> None:
    table = format_table((attack, carry_out(attack)) for attack in all_attacks())
    text = README.read_text(encoding="utf-8")
    if write:
        README.write_text(with_table(text, table), encoding="utf-8")
    else:
        print(table)
        sys.exit(0 if table_in(text) == table else 1)


if __name__ == "__main__":
    main("--write" in sys.argv[1:])
