"""Which column of a roster's spreadsheet holds what, by its heading.

>>> use_of("Jersey #"), use_of("PLAYER NAME"), use_of("Club")
('number', 'name', 'association')
>>> use_of("Date of Birth"), use_of("Weight (lbs)"), use_of("Weight class")
('birth', 'weight', 'division')
>>> use_of("Player #"), use_of("Phone #"), use_of("Parent e-mail")
('number', '', '')
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping

TAKEN = ("number", "name", "first", "last", "team", "division", "association")
"""What a roster's column can be used for."""
PRIVATE = ("birth", "weight")
"""What weighbook never keeps."""

BLANKS = frozenset({"", "-", "--", "–", "—", "?", "x", "na", "n/a", "none", "tbd", "tba"})
"""What people write in a cell that they leave blank."""
_WORDS: Mapping[str, str] = {
    "number": "# no num nr nbr number jersey jersey# jerseyno jerseynum jerseynumber uniform "
    "uniform# uniformno uniformnumber shirt shirt# shirtno shirtnumber player# playerno "
    "playernumber",
    "name": "name names player players playername playersname fullname child childname childsname "
    "athlete athletename participant participantname kid lastnamefirstname lastfirst firstlast "
    "firstandlastname namelastfirst namefirstlast playernamelastfirst playernamefirstlast",
    "first": "first firstname givenname forename playerfirst playerfirstname childfirstname "
    "athletefirstname participantfirstname",
    "last": "last lastname surname familyname playerlast playerlastname childlastname "
    "athletelastname participantlastname",
    "team": "team teamname teams squad squadname assignedteam teamassigned",
    "division": "division div divisionname level agegroup agedivision weightclass weightdivision",
    "association": "association assoc club clubname organization organisation",
    "birth": "dob born bday yob",
    "weight": "wt lb lbs kg kgs pounds kilos mass",
}
_BY_WORD = {word: use for use, words in _WORDS.items() for word in words.split()}


def use_of(heading: str) -> str:
    """What a column with this heading holds; "" if no heading of that kind is known."""
    word = plain(heading)
    if use := _BY_WORD.get(word):
        return use
    if "birth" in word or word.startswith("dob"):
        return "birth"
    return "weight" if "weight" in word or word.endswith(("lbs", "pounds")) else ""


def name_key(name: str) -> str:
    """What two spellings of one name have in common: not capitals, not spaces."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def plain(heading: str) -> str:
    """A heading's letters, digits and #, in lowercase."""
    text = unicodedata.normalize("NFKC", heading).casefold()
    return "".join(letter for letter in text if letter.isalnum() or letter == "#")
