"""One catalogue has every text of the page, and another language needs only its file."""

from __future__ import annotations

import json
import re
from pathlib import Path

from ledger.field.shell import STATIC
from tests.field.catalogue import POT, catalogue, compiled, template

CALL = re.compile(r'(?<![\w.])tn?\(\s*"((?:[^"\\]|\\.)*)"')
NO_LITERAL = re.compile(r"(?<![\w.])tn?\(\s*(?!\")[^)]")
COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
DEFINES = "words.js"


def modules() -> dict[str, str]:
    """The modules by name, without what their comments say."""
    return {
        path.relative_to(STATIC).as_posix(): COMMENT.sub("", path.read_text(encoding="utf-8"))
        for path in sorted(STATIC.rglob("*.js"))
    }


def test_the_catalogue_is_current() -> None:
    assert POT.read_text(encoding="utf-8") == template(), "python -m tests.field.catalogue --write"


def test_every_call_gives_its_text_where_it_is_called() -> None:
    """Babel finds literals only; what it missed nobody could translate."""
    found = {one.id[0] if one.pluralizable else one.id for one in catalogue() if one.id}
    texts = modules()
    said = {json.loads(f'"{text}"') for own in texts.values() for text in CALL.findall(own)}
    assert len(said) > 100
    assert said - found == set()
    others = {name for name, text in texts.items() if NO_LITERAL.search(text)}
    assert others <= {DEFINES}


def test_a_value_named_in_a_text_is_given_by_its_name() -> None:
    """`{n}` and not `{}`; a plural has `{n}` in its second form."""
    for one in catalogue():
        if one.pluralizable:
            assert "{n}" in one.id[1], one.id
        elif one.id:
            assert "{}" not in one.id


def test_a_reviewed_file_becomes_a_module() -> None:
    po = """
msgid ""
msgstr "Content-Type: text/plain; charset=utf-8\\nPlural-Forms: nplurals=2; plural=(n != 1);\\n"

msgid "All saved"
msgstr "Ålles \\"da\\""

msgid "{n} waits on this phone"
msgid_plural "{n} wait on this phone"
msgstr[0] "{n} wartet"
msgstr[1] "{n} warten"

msgid "No network. It will send by itself."
msgstr ""

#, fuzzy
msgid "Try now"
msgstr "not reviewed"
"""
    text = compiled(po)
    assert text.startswith("export default ")
    assert json.loads(text.removeprefix("export default ").rstrip(";\n")) == {
        "All saved": 'Ålles "da"',
        "{n} waits on this phone": ["{n} wartet", "{n} warten"],
    }


def test_languages_on_the_page_have_their_file() -> None:
    """English is what the code says."""
    named = re.search(r"LANGUAGES = \{(.*?)\}", modules()["line/languages.js"])
    assert named
    codes = set(re.findall(r"(\w+):", named[1])) - {"en"}
    assert codes == {Path(name).stem for name in modules() if name.startswith("words/")}
