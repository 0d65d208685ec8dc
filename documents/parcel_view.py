"""The slip of a parcel, decided: the address on it and the list in it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from documents.care_words import NO_MEDICAL_DEVICE
from documents.fibre_words import fibre_content
from documents.job import Job
from documents.label_view import LONGEST_LINE, SUPERVISION, maker_line
from documents.language import Language, language
from documents.text import Cleaner
from sizing.errors import ValueOutOfRangeError

LONGEST_NAME: Final = 40
MOST_LINES: Final = 8
MOST_EXTRAS: Final = 10
_ENGLISH: Final = language()


@dataclass(frozen=True, slots=True)
class ParcelView:
    """A parcel slip with nothing left to decide.

    Attributes:
        sender: name and address in one line.
        addressee: name and address, line by line.
        facts: order and date.
        contents: what lies in the parcel, one line each.
        language: the code of the language that all is said in.
        warnings: what had to be changed in typed texts, for the maker's screen.
    """

    title: str
    maker: str
    footer: str
    language: str
    from_word: str
    to_word: str
    sender: str
    addressee: tuple[str, ...]
    contents_title: str
    facts: str
    contents: tuple[str, ...]
    caution: str
    missing: str
    warnings: tuple[str, ...]


def _hood(job: Job, said: Language, cleaner: Cleaner) -> str:
    hood = cleaner.line(job.hood_number, "hood number", LONGEST_NAME)
    dog = cleaner.line(job.dog, "dog", LONGEST_NAME)
    made_of = fibre_content(said, job.yarn.fibres)
    if dog:
        return said.say("Dog hood {hood} for {dog}: {fibres}", hood=hood, dog=dog, fibres=made_of)
    return said.say("Dog hood {hood}: {fibres}", hood=hood, fibres=made_of)


def parcel_view(
    jobs: Sequence[Job],
    address: Sequence[str],
    said: Language = _ENGLISH,
    extras: Sequence[str] = (),
) -> ParcelView:
    """Return the slip of a parcel to one buyer.

    Args:
        jobs: the orders in the parcel; the first names the buyer.
        address: the lines of the buyer's postal address.
        said: the buyer's language.
        extras: what else lies in the parcel, in the maker's words.

    Raises:
        ValueOutOfRangeError: if there is no hood.
    """
    if not jobs:
        raise ValueOutOfRangeError("hoods", "A parcel slip needs a hood.")
    cleaner = Cleaner()
    job = jobs[0]
    for where, given, most in (("address", address, MOST_LINES), ("extras", extras, MOST_EXTRAS)):
        if len(given) > most:
            cleaner.warnings.append(f"{where}: cut to {most} lines.")
    to = (
        cleaner.line(line, "addressee", LONGEST_LINE)
        for line in (job.buyer, *address[:MOST_LINES])
    )
    more = (cleaner.line(line, "extras", LONGEST_LINE) for line in extras[:MOST_EXTRAS])
    order = cleaner.line(job.order_number, "order number", LONGEST_NAME)
    hood = cleaner.line(job.hood_number, "hood number", LONGEST_NAME)
    return ParcelView(
        title=said.say("Parcel slip, hood {hood}", hood=hood),
        maker=cleaner.line(job.maker.name, "maker", LONGEST_LINE),
        footer=said.say("Cut along the dashed line: the upper part goes on the parcel."),
        language=said.code,
        from_word=said.say("From"),
        to_word=said.say("To"),
        sender=maker_line(job, cleaner),
        addressee=tuple(line for line in to if line),
        contents_title=said.say("In this parcel"),
        facts=said.say("Order {order}, {date}", order=order, date=said.date(job.issued)),
        contents=(
            *(_hood(one, said, cleaner) for one in jobs),
            said.say("Care and supervision sheet: please read it before the first wear"),
            *(line for line in more if line),
        ),
        caution=f"{said.say(SUPERVISION)} {said.say(NO_MEDICAL_DEVICE)}",
        missing=said.say("Is something missing or not right? Please write at once."),
        warnings=tuple(dict.fromkeys(cleaner.warnings)),
    )
