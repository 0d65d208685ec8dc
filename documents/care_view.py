"""The care and supervision sheet, decided."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from documents import care_words as words
from documents.figures import date_text, fibres_text
from documents.job import Job
from documents.text import Cleaner
from sizing.dogs import Risk
from sizing.plan import Plan

LONGEST_DOG: Final = 24
"""The name stands in many sentences; a longer one would crowd them out."""
LONGEST_LINE: Final = 70
MOST_ADDRESS_LINES: Final = 6
LONGEST_WASH: Final = 240


@dataclass(frozen=True, slots=True)
class Topic:
    """One topic of the sheet: its heading and its sentences, one item each."""

    title: str
    lines: tuple[str, ...]
    loud: bool = False


@dataclass(frozen=True, slots=True)
class CareView:
    """A care sheet with nothing left to decide.

    Attributes:
        warnings: what had to be changed in typed texts, for the maker's screen.
    """

    title: str
    heading: str
    subheading: str
    maker_name: str
    footer: str
    topics: tuple[Topic, ...]
    maker: tuple[str, ...]
    hood: tuple[str, ...]
    warnings: tuple[str, ...]


def _for(dog: str, lines: tuple[str, ...]) -> tuple[str, ...]:
    """Return sentences about this dog, each with a capital first letter."""
    named = (line.replace("{dog}", dog) for line in lines)
    return tuple(line[:1].upper() + line[1:] for line in named)


def _own_lines(risks: frozenset[Risk]) -> tuple[str, ...]:
    return tuple(line for risk, line in words.RISKS.items() if risk in risks)


def _topics(dog: str, risks: frozenset[Risk], wash: str) -> Iterator[Topic]:
    yield Topic("Stay with your dog", _for(dog, words.NEVER), loud=True)
    yield Topic("Take it off at once if", _for(dog, words.SIGNS))
    own = _own_lines(risks)
    if own:
        yield Topic(f"Just for {dog}", _for(dog, own))
    yield Topic("On and off", _for(dog, words.PUT_ON))
    yield Topic("The first times", _for(dog, words.FIRST_TIMES))
    yield Topic("Check it each week", words.CHECKS)
    yield Topic("Swallowed yarn is an emergency: call the vet at once", words.SWALLOWED, loud=True)
    yield Topic("Wash it", (wash,))


def _maker(cleaner: Cleaner, job: Job) -> tuple[str, ...]:
    address = job.maker.address
    if len(address) > MOST_ADDRESS_LINES:
        cleaner.warnings.append(f"address: cut to {MOST_ADDRESS_LINES} lines.")
    lines = (job.maker.name, *address[:MOST_ADDRESS_LINES], job.maker.email)
    cleaned = (cleaner.line(line, "maker", LONGEST_LINE) for line in lines)
    return tuple(line for line in cleaned if line)


def _hood(cleaner: Cleaner, job: Job, hood: str) -> tuple[str, ...]:
    lot = cleaner.line(job.yarn.lot, "lot", LONGEST_LINE)
    return (
        f"Hood {hood}",
        date_text(job.issued),
        fibres_text(job.yarn.fibres),
        *((f"Yarn lot {lot}",) if lot else ()),
    )


def care_view(job: Job, plan: Plan) -> CareView:
    """Return the care sheet of a job.

    Args:
        job: the order.
        plan: the sizing plan; its profile tells the dog's risks.

    Returns:
        All texts cleaned; a line for each risk of this dog and for no other.
    """
    cleaner = Cleaner()
    dog = cleaner.line(job.dog, "dog", LONGEST_DOG)
    hood = cleaner.line(job.hood_number, "hood number", LONGEST_DOG)
    wash = cleaner.line(job.wash, "washing", LONGEST_WASH) or words.washing(job.yarn.fibres)
    owner = f"{dog}\u2019s hood" if dog else "Your dog\u2019s hood"
    return CareView(
        title=f"{owner}: care and supervision",
        heading=owner,
        subheading="How to use it safely and keep it well",
        maker_name=cleaner.line(job.maker.name, "maker", LONGEST_LINE),
        footer=f"Hood {hood}",
        topics=tuple(_topics(dog or "your dog", plan.profile.risks, wash)),
        maker=_maker(cleaner, job),
        hood=_hood(cleaner, job, hood),
        warnings=tuple(dict.fromkeys(cleaner.warnings)),
    )
