"""Swing labels, decided: what hangs on each hood."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from documents.care_words import NO_MEDICAL_DEVICE, washing
from documents.fibre_words import fibre_content
from documents.job import Job
from documents.language import Language, language, mark
from documents.text import Cleaner
from sizing.errors import ValueOutOfRangeError

LONGEST_NAME: Final = 24
LONGEST_LINE: Final = 60
LONGEST_WASH: Final = 240
MOST_ADDRESS_LINES: Final = 6
MOST_COPIES: Final = 100
SUPERVISION: Final = mark("Only under supervision: never leave a dog alone in it.")
CUT: Final = mark("Cut along the dashed lines.")
LAW: Final = mark("Local law decides what a label must say.")
_ENGLISH: Final = language()


@dataclass(frozen=True, slots=True)
class Tag:
    """One label: number, dog, fibres with lot and date, washing, caution, maker."""

    hood: str
    dog: str
    fibres: str
    wash: str
    caution: str
    maker: str


@dataclass(frozen=True, slots=True)
class LabelView:
    """A sheet of labels with nothing left to decide.

    Attributes:
        tags: in order, each as often as it is wanted.
        hole: what stands at the place for the string.
        language: the code of the language that all is said in.
        warnings: what had to be changed in typed texts, for the maker's screen.
    """

    title: str
    maker: str
    footer: str
    language: str
    hole: str
    tags: tuple[Tag, ...]
    warnings: tuple[str, ...]


def maker_line(job: Job, cleaner: Cleaner) -> str:
    """Return the maker's name and addresses as one line."""
    address = job.maker.address
    if len(address) > MOST_ADDRESS_LINES:
        cleaner.warnings.append(f"address: cut to {MOST_ADDRESS_LINES} lines.")
    lines = (job.maker.name, *address[:MOST_ADDRESS_LINES], job.maker.email)
    cleaned = (cleaner.line(line, "maker", LONGEST_LINE) for line in lines)
    return " \u00b7 ".join(line for line in cleaned if line)


def _made_of(job: Job, said: Language, cleaner: Cleaner) -> str:
    """Return the fibres, and what ties a hood to its yarn: the lot and the date."""
    lot = cleaner.line(job.yarn.lot, "lot", LONGEST_NAME)
    parts = [fibre_content(said, job.yarn.fibres), said.date(job.issued)]
    if lot:
        parts.insert(1, said.say("yarn lot {lot}", lot=lot))
    return " \u00b7 ".join(parts)


def _tag(job: Job, said: Language, cleaner: Cleaner) -> Tag:
    hood = cleaner.line(job.hood_number, "hood number", LONGEST_NAME)
    dog = cleaner.line(job.dog, "dog", LONGEST_NAME)
    own = cleaner.line(job.wash, "washing", LONGEST_WASH)
    return Tag(
        hood=said.say("Dog hood {hood}", hood=hood),
        dog=said.say("made for {dog}", dog=dog) if dog else "",
        fibres=_made_of(job, said, cleaner),
        wash=own or said.say(washing(job.yarn.fibres)),
        caution=f"{said.say(SUPERVISION)} {said.say(NO_MEDICAL_DEVICE)}",
        maker=maker_line(job, cleaner),
    )


def label_view(jobs: Sequence[Job], said: Language = _ENGLISH, copies: int = 1) -> LabelView:
    """Return the labels of one or more hoods.

    Args:
        jobs: the orders, one hood each.
        said: the buyers' language.
        copies: labels of each, 1 to 100.

    Raises:
        ValueOutOfRangeError: if there is no hood, or no such number of copies.
    """
    if not jobs or not 1 <= copies <= MOST_COPIES:
        reason = f"Labels need a hood, and 1 to {MOST_COPIES} copies of each."
        raise ValueOutOfRangeError("copies", reason)
    cleaner = Cleaner()
    tags = tuple(tag for job in jobs for tag in [_tag(job, said, cleaner)] * copies)
    return LabelView(
        title=said.say("Labels: {hood}", hood=tags[0].hood),
        maker=cleaner.line(jobs[0].maker.name, "maker", LONGEST_LINE),
        footer=f"{said.say(CUT)} {said.say(LAW)}",
        language=said.code,
        hole=said.say("hole"),
        tags=tags,
        warnings=tuple(dict.fromkeys(cleaner.warnings)),
    )
