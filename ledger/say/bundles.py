"""The two texts for people in a bundle: README.txt and certification.txt.

A person completes the certification. It follows US Federal Rules of Evidence 902(13) and 902(14):
a person who knows the system says how the record was made, and that a copy is the record, by its
digest. It concerns authenticity; local law decides what it is worth.
"""

from __future__ import annotations

from ledger.review.evidence.check_texts import Facts
from ledger.say.lines import paragraph
from ledger.say.proofs import Section, sections
from ledger.witness.checked import CheckedProof

_README = """\
{title}
{line}

{about}

How to check it
---------------

You need Python 3.9 or later, no network and no other program. In the folder
where you unpacked this zip, run:

    python3 -I data/check_bundle.py

Or check the zip itself: python3 -I check_bundle.py FILE.zip. The checker is
plain Python: read it, or get it from somebody you trust, because a false bundle
could bring a false checker. weighbook checks the same with other code, writes
these texts again and compares them, and reads what the packet carries:
weighbook evidence check FILE.zip. The bundle is a BagIt bag (RFC 8493): any
program for those checks the digests. Checkpoints and keys are signed notes
(c2sp.org/signed-note, tlog-checkpoint, tlog-cosignature), proofs follow
RFC 9162, and disclosures have the form of RFC 9901.

Then compare the keys in data/keys.txt with your own paper or receipt. No
program can do this step for you.

What is in it
-------------

    data/packet.pdf          the case on paper, with the names of the children
                             it is about; it may be left out
    data/events.json         the statements, and the proof of each
    data/checkpoint.txt      the signed state of the ledger that proves them
    data/checkpoints/        every signed state that the proof uses
    data/keys.txt            the public keys of everyone who signed
    data/answers/            the program's answers as tables; dictionary.txt
    data/exhibits/           files handed in, named by their SHA-256, without
                             those that were withdrawn
    data/certification.txt   a text for the keeper of the records to complete
    data/check_bundle.py     checks the statements, signed lists, keys and files
    signature.txt            the ledger's signature over all of this

{sections}
  - That the pages of the packet and the tables in data/answers follow from the
    statements. The ledger's key signed them, but a program made them (only
    statements.csv is compared, cell by cell). If one matters, work it out again
    from the statements it names.

Who decides
-----------

People do. This bundle disqualifies nobody and accuses nobody.
"""

_CERTIFICATION = """\
Certification by the keeper of the records
------------------------------------------

A person must complete and sign this; until then nobody has certified anything.
It follows the idea of US Federal Rules of Evidence 902(13) and 902(14): it says
that the records are what they claim to be, not that they are true. Local law
decides whether it counts, in which form, and what notice the other side must
have. Ask somebody who knows that law.

{records}

1. I am ________________________________________________ (printed name),
   ________________________________________________ (office in the league).
   I know how these records are made and kept, because
   _________________________________________________________________________.

2. The program {software} makes the records,
   and the league uses it in the regular course of its season. People enter what
   happened, at or near the time. The program keeps each statement with its
   times and links it to the one before by SHA-256, so a later change shows.

3. What I know about the devices that were used, and about anything that went
   wrong with them ("nothing known" if so):
   _________________________________________________________________________
   _________________________________________________________________________.

4. On __________________ (date) I had the program's own audit check the ledger.
   It said: ________________________________________________________________.

5. These files are copies from that ledger. I compared the SHA-256 of each:

{digests}
   The ledger was in this state when they were made:

{states}
6. I state this under the law of ___________________________________________
   and, where that law provides for it, under penalty of perjury.

   Signature ____________________________  Date and time ____________________
"""


def bundle_texts(facts: Facts, checked: CheckedProof) -> dict[str, str]:
    """The texts for people in a bundle, by path below data/."""
    title = f"Evidence about the case {facts.case}"
    games = f" and {', '.join(facts.games)}" if facts.games else ""
    season = f"{facts.league}, season {facts.season}"
    about = (
        f"{season}. This is what the league's ledger has about the case{games}: each statement "
        "letter for letter, with the proof that it is in the signed ledger. You need not trust the "
        "person who gave it to you. It concerns children: show it only to the people who decide, "
        "and delete it afterwards."
    )
    digests = [f"   data/{path}\n   {digest}\n" for path, digest in facts.digests.items()]
    states = [
        f"   {state.origin}\n   {state.size} entries, root\n   {state.root.hex()}\n"
        for state in facts.states
    ]
    return {
        "README.txt": _README.format(
            title=title,
            line="-" * len(title),
            about=paragraph(about),
            sections="\n\n".join(map(_section, sections(checked))),
        ),
        "certification.txt": _CERTIFICATION.format(
            records=paragraph(f"Records: {season}, case {facts.case}."),
            software=facts.software,
            digests="".join(digests),
            states="".join(states),
        ),
    }


def _section(section: Section) -> str:
    lines = [paragraph(f"- {line}", indent=2, hang=4) for line in section.lines]
    return "\n".join([section.heading, "-" * len(section.heading), "", *lines])
