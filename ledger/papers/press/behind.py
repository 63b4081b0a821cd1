"""Find out what was added after a paper's own bytes.

A PDF may go on after its end (ISO 32000-1, 7.5.6), and an addition may hide or replace all that
was printed. Only one kind does not count as a change: a single revision that adds one invisible
PAdES signature over the whole file. It must be genuine by its own certificate, and pyHanko's
difference analysis must find nothing else. The owner of the certificate is not checked, since a
league's device knows no authority.
"""

from __future__ import annotations

import io
import logging
from dataclasses import dataclass

_SUBFILTER = "/ETSI.CAdES.detached"  # PAdES: ETSI EN 319 142-1


@dataclass(frozen=True)
class Behind:
    """`signer` is the name in the one signature's certificate; otherwise `problem` says why."""

    signer: str = ""
    problem: str = ""


def look_behind(paper: bytes, printed: bytes) -> Behind:
    """What the paper has after the `printed` bytes, with which it begins."""
    count = f"{len(paper) - len(printed):,} bytes were added after what was printed"
    try:
        import pyhanko.sign.validation  # noqa: F401
    except ImportError:
        return Behind(
            problem=f"{count}. If they are a signature, it was not checked: pyHanko is not "
            "installed (pip install 'weighbook[pades]')"
        )
    from pyhanko.pdf_utils.misc import PdfError
    from pyhanko.sign.diff_analysis import SuspiciousModification
    from pyhanko.sign.validation.errors import SignatureValidationError

    silenced = logging.root.manager.disable
    logging.disable(logging.CRITICAL)  # pyHanko logs what it finds; we say it ourselves
    try:
        return _one_signature(paper, count)
    except SuspiciousModification as error:
        return Behind(problem=f"{count}: more than a signature: {error}")
    except (PdfError, SignatureValidationError) as error:
        return Behind(problem=f"{count}: not a readable signature: {error}")
    except (ValueError, KeyError, TypeError, IndexError, AttributeError, NotImplementedError,
            RecursionError, AssertionError):  # fmt: skip
        # pyHanko raises these for a file that was broken on purpose.
        return Behind(problem=f"{count}: not a readable signature")
    finally:
        logging.disable(silenced)


def _one_signature(paper: bytes, count: str) -> Behind:
    from pyhanko.pdf_utils.generic import ArrayObject, DictionaryObject, NameObject, NumberObject
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.sign.diff_analysis import DEFAULT_DIFF_POLICY, ModificationLevel
    from pyhanko.sign.fields import MDPPerm
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko.sign.validation.status import SignatureCoverageLevel
    from pyhanko_certvalidator import ValidationContext

    reader = PdfFileReader(io.BytesIO(paper))
    signatures = reader.embedded_signatures
    if len(signatures) != 1 or reader.total_revisions != 2:
        said = f"{len(signatures)} signatures in {reader.total_revisions - 1} additions"
        return Behind(problem=f"{count}: {said}, not just one signature")
    (embedded,) = signatures
    if embedded.sig_object.get("/SubFilter") != _SUBFILTER:
        return Behind(problem=f"{count}: a signature, but not a PAdES one")
    before, after = reader.get_historical_resolver(0), reader.get_historical_resolver(1)
    if "/AcroForm" not in before.root:
        # The analysis starts at a form. A paper has none: the same as an empty one.
        before.root[NameObject("/AcroForm")] = DictionaryObject(  # type: ignore[no-untyped-call]
            {
                NameObject("/Fields"): ArrayObject(),
                NameObject("/SigFlags"): NumberObject(3),  # type: ignore[no-untyped-call]
            }
        )
    changed = DEFAULT_DIFF_POLICY.apply(before, after, doc_mdp=MDPPerm.FILL_FORMS)
    left, bottom, right, top = map(float, embedded.sig_field["/Rect"])
    is_seen = "/AP" in embedded.sig_field or left != right or bottom != top
    if is_seen or changed.modification_level > ModificationLevel.FORM_FILLING:
        return Behind(problem=f"{count}: a signature that shows on the page")
    nobody = ValidationContext(trust_roots=[], allow_fetching=False)
    status = validate_pdf_signature(embedded, nobody)
    whole = status.coverage == SignatureCoverageLevel.ENTIRE_FILE
    if not (status.intact and status.valid and whole):
        return Behind(problem=f"{count}: a signature that is not valid for the whole file")
    subject = status.signing_cert.subject.native
    name = subject.get("common_name") or status.signing_cert.subject.human_friendly
    return Behind(signer=str(name) or f"number {status.signing_cert.serial_number:x}")
