"""The two papers in a bundle that are meant for people: README.txt and certification.txt.

The certification is a text for a person to complete. It follows the idea of US Federal Rules of
Evidence 902(13) and 902(14): somebody who knows the system says how the record was made, and that
a copy is the record, by its digest. It concerns authenticity; local law decides what it is worth.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from ledger.review.evidence.facts import Facts
from ledger.say.lines import WIDTH
from ledger.say.proofs import Section, sections
from ledger.witness.checked import CheckedProof

_README = """\
{title}
{line}

{about}

How to check it
---------------

With Python 3.9 or later, without a network and without any other program, in
the folder that this zip was unpacked to:

    python3 -I data/check_bundle.py

or the zip as it came: python3 -I check_bundle.py FILE.zip. The checker is plain
Python: read it, or take it from somebody you trust, for a bundle that lies
could bring a checker that lies. weighbook does the same with other code, writes
these texts again and compares them, and reads what the packet carries:
weighbook evidence check FILE.zip. The bundle is a BagIt bag (RFC 8493), so any
program for those checks the digests. Checkpoints and keys are signed notes
(c2sp.org/signed-note, tlog-checkpoint, tlog-cosignature); the proofs are those
of RFC 9162; disclosures have the form of RFC 9901.

Then compare the keys in data/keys.txt with a paper or a receipt that you hold
yourself. This is the one step that no program can do for you.

What is in it
-------------

    data/packet.pdf          the case on paper; names the children it is about;
                             it may have been left out
    data/events.json         the statements, and the proof of each
    data/checkpoint.txt      the signed state of the ledger they are proved by
    data/checkpoints/        every signed state that the proof uses
    data/keys.txt            the public keys of all who signed
    data/answers/            what the program derives, as tables; dictionary.txt
    data/exhibits/           files handed in, named by their SHA-256; none that
                             was withdrawn
    data/certification.txt   a text for the keeper of the records to complete
    data/check_bundle.py     checks the statements, signed lists, keys and files
    signature.txt            the ledger's signature over all of this

{sections}
  - That the pages of the packet and the tables in data/answers follow from the
    statements: the ledger's key signed them as they are, but a program made
    them (statements.csv alone is compared, cell by cell). Where one matters,
    derive it again from the statements it names.

Who decides
-----------

People do. This bundle disqualifies nobody and accuses nobody.
"""

_CERTIFICATION = """\
Certification by the person who keeps the records
-------------------------------------------------

To be completed and signed by a person; until then nobody has certified
anything. It follows the idea of US Federal Rules of Evidence 902(13) and
902(14): it says that the records are what they claim to be, not that they are
true. Local law decides whether it is accepted, in which form, and what notice
the other side must have; ask somebody who knows it.

{records}

1. I am ________________________________________________ (printed name),
   ________________________________________________ (office in the league).
   I know how these records are made and kept, because
   _________________________________________________________________________.

2. The records are made by the program {software},
   which the league uses in the regular course of its season. People state what
   happened, at or near the time; the program keeps each statement with its
   times, linked to the one before it by SHA-256, so that a later change shows.

3. What I know of the devices that were used, and of anything that went wrong
   with them ("nothing known" where that is so):
   _________________________________________________________________________
   _________________________________________________________________________.

4. On __________________ (date) I had the ledger checked by the program's own
   audit. It said: _________________________________________________________.

5. These files are copies out of that ledger. I compared the SHA-256 of each:

{digests}
   The ledger was in this state when they were made:

{states}
6. I state this under the law of ___________________________________________
   and, where that law provides for it, under penalty of perjury.

   Signature ____________________________  Date and time ____________________
"""


def bundle_texts(facts: Facts, checked: CheckedProof) -> dict[str, str]:
    """The papers for people in a bundle, by path below data/."""
    return {
        "README.txt": format_readme(facts, sections(checked)),
        "certification.txt": format_certification(facts),
    }


def format_readme(facts: Facts, sections: Sequence[Section]) -> str:
    """README.txt: what this is, how to check it, what it proves and what it cannot."""
    title = f"Evidence about the case {facts.case}"
    games = f" and of {', '.join(facts.games)}" if facts.games else ""
    about = (
        f"{facts.league}, season {facts.season}. This is what the league's ledger holds of the "
        f"case{games}: each statement letter for letter, with the proof that it stands in the "
        "ledger that was signed. You need not trust whoever gave it to you. It concerns children: "
        "show it to those who decide and to nobody else, and delete it afterwards."
    )
    return _README.format(
        title=title,
        line="-" * len(title),
        about=_wrapped(about),
        sections="\n\n".join(map(_section, sections)),
    )


def format_certification(facts: Facts) -> str:
    """certification.txt, with blanks for the person who keeps the records."""
    records = f"Records: {facts.league}, season {facts.season}, case {facts.case}."
    digests = [f"   data/{path}\n   {digest}\n" for path, digest in facts.digests.items()]
    states = [
        f"   {state.origin}\n   {state.size} entries, root\n   {state.root.hex()}\n"
        for state in facts.states
    ]
    return _CERTIFICATION.format(
        records=_wrapped(records),
        software=facts.software,
        digests="".join(digests),
        states="".join(states),
    )


def _section(section: Section) -> str:
    lines = [section.heading, "-" * len(section.heading), ""]
    lines += [_wrapped(line, "  - ", "    ") for line in section.lines]
    return "\n".join(lines)


def _wrapped(text: str, first: str = "", rest: str = "") -> str:
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
