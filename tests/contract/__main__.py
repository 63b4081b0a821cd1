"""python -m tests.contract [--write]: compare the generated parts, or write them."""

from __future__ import annotations

import sys

from tests.contract.parts import ROOT, texts, with_parts


def main(write: bool) -> int:
    stale = []
    for path, parts in texts():
        text = path.read_text(encoding="utf-8")
        if (made := with_parts(text, parts)) != text:
            stale.append(path.relative_to(ROOT).as_posix())
            if write:
                path.write_text(made, encoding="utf-8")
    print("\n".join(stale), end="\n" if stale else "")
    return 1 if stale and not write else 0


if __name__ == "__main__":
    sys.exit(main("--write" in sys.argv[1:]))
