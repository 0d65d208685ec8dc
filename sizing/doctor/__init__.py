"""The measurement doctor: a slip has a shape.

Given one to four lengths of a dog, it weighs what may have happened between the dog and the
order: all true, the wrong unit, a lost point, swapped digits, a tape at the wrong place. It
says which number is odd, what was probably meant, how sure that is, and what to ask the owner.
What it rests on is thin, and it says so. `docs/doctor.md` shows how often it is right.
"""

from sizing.doctor.examine import diagnose, examine, findings_on
from sizing.doctor.findings import Diagnosis, Explanation, Finding, Kind, Severity
from sizing.doctor.learn import Finished, learn
from sizing.doctor.model import Picture, Subject, picture, subject_of
from sizing.doctor.prior import PUBLISHED, Offset, Prior

__all__ = [
    "PUBLISHED",
    "Diagnosis",
    "Explanation",
    "Finding",
    "Finished",
    "Kind",
    "Offset",
    "Picture",
    "Prior",
    "Severity",
    "Subject",
    "diagnose",
    "examine",
    "findings_on",
    "learn",
    "picture",
    "subject_of",
]
