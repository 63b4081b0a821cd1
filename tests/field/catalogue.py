"""The texts of the page: `ledger/field/words/weighbook.pot`, for gettext and its editors.

`python -m tests.field.catalogue --write` makes it from the modules, the templates and what a
practice says; without `--write` it compares. `--compile LANGUAGE` turns `words/LANGUAGE.po`, which
speakers have reviewed, into `static/words/LANGUAGE.js`, which the page reads; then name the
language in `line/languages.js`.
"""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po, write_po

from ledger.field.shell import HERE, STATIC
from ledger.say.practice_lessons import texts_of_lessons
from ledger.say.practice_scenes import texts_of_scenes

WORDS = HERE / "words"
POT = WORDS / "weighbook.pot"
METHODS = [("**.js", "javascript"), ("**.html", "jinja2")]
KEYWORDS = {"t": None, "tn": (1, 2), "_": None}


def catalogue() -> Catalog:
    """Every text of the page."""
    made = Catalog(project="weighbook", charset="utf-8")
    options = {"**.js": {"parse_template_string": "true"}}
    found = extract_from_dir(HERE, METHODS, options, keywords=KEYWORDS, comment_tags=())
    for _, _, message, _, context in found:
        made.add(message, context=context)
    for text in (*texts_of_scenes(), *texts_of_lessons()):
        made.add(text)
    return made


def template() -> str:
    """The catalogue as a .pot: sorted, without places and times, so that it changes with texts."""
    text = io.BytesIO()
    write_po(text, catalogue(), no_location=True, omit_header=True, sort_output=True, width=100)
    head = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=utf-8\\n"\n\n'
    return head + text.getvalue().decode()


def compiled(po: str) -> str:
    """A reviewed catalogue as the page's module. Texts without a translation stay English."""
    read = read_po(io.BytesIO(po.encode()))
    said = {
        (one.id[0] if one.pluralizable else one.id): list(one.string) if one.pluralizable
        else one.string
        for one in read
        if one.id and not one.fuzzy and one.string and all(one.string)
    }  # fmt: skip
    return f"export default {json.dumps(said, ensure_ascii=False, indent=0)};\n"


def main(*words: str) -> int:
    if words[:1] == ("--compile",):
        source = (WORDS / f"{words[1]}.po").read_text(encoding="utf-8")
        target = STATIC / "words" / f"{words[1]}.js"
        target.parent.mkdir(exist_ok=True)
        target.write_text(compiled(source), encoding="utf-8")
        return 0
    is_current = POT.exists() and POT.read_text(encoding="utf-8") == template()
    if "--write" in words:
        POT.write_text(template(), encoding="utf-8")
    elif not is_current:
        print(f"{Path(POT).name} is not current")
    return 0 if is_current or "--write" in words else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
