"""The care and supervision sheet, decided."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from documents import care_words as words
from documents.fibre_words import fibre_content
from documents.job import Job
from documents.language import ENGLISH, Language, language
from documents.text import Cleaner, isolated
from sizing.dogs import Risk
from sizing.plan import Plan
from sizing.profile import Profile

LONGEST_DOG: Final = 24
"""The name stands in many sentences; a longer one would crowd them out."""
LONGEST_LINE: Final = 70
MOST_ADDRESS_LINES: Final = 6
LONGEST_WASH: Final = 240
HEAVY_KG: Final = 50.0
"""Heavier dogs overheat more often (Hall, Carter, O'Neill 2020, Sci Rep 10:9128)."""

_BY_A_UNIT: Final = re.compile(r"(?<=\d) (?=[°%])|(?<=\d %) ")
_LOTS: Final = re.compile(r"\s*[,;]\s*")


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
        language: the code of the language that all its texts are in.
        maker: who made the hood and how to reach them, a line each, the name first.
        hood: which hood it is and of what, a line each, its number first.
        closing: what the hood is not, and who decides on rights.
        warnings: what had to be changed in typed texts, for the maker's screen.
    """

    language: str
    title: str
    heading: str
    subheading: str
    maker_name: str
    footer: str
    topics: tuple[Topic, ...]
    maker: tuple[str, ...]
    hood: tuple[str, ...]
    closing: tuple[str, ...]
    warnings: tuple[str, ...]


def _held(text: str) -> str:
    """Return a text in which no line may break between a number, its unit and what it is of."""
    return _BY_A_UNIT.sub("\u00a0", text)


@dataclass(frozen=True, slots=True)
class Teller:
    """Says the messages about one dog in one language.

    Attributes:
        language: to say them in.
        dog: its name; empty for none.
    """

    language: Language
    dog: str

    def say(self, message: str, **values: object) -> str:
        """Return a sentence about this dog, with a capital first letter."""
        plain = self.language.say
        dog = self.dog or plain(words.UNNAMED)
        whom = self.dog or plain(words.UNNAMED_WHOM)
        said = _held(plain(message, dog=dog, whom=whom, **values))
        return said[:1].upper() + said[1:]

    def topic(self, title: str, lines: Iterable[str], *, loud: bool = False) -> Topic:
        """Return a topic of messages."""
        return Topic(self.say(title), tuple(self.say(line) for line in lines), loud)


def _risks(profile: Profile) -> frozenset[Risk]:
    """Return the dog's risks, that of a heavy body among them."""
    heavy = profile.weight is not None and profile.weight.likely > HEAVY_KG
    return profile.risks | ({Risk.HEAT} if heavy else frozenset())


def _topics(
    tell: Teller, risks: frozenset[Risk], wash: Topic, *, buttoned: bool, sewn_on: bool
) -> Iterator[Topic]:
    yield tell.topic(words.STAY_TITLE, words.NEVER, loud=True)
    yield tell.topic(words.SIGNS_TITLE, words.SIGNS)
    own = tuple(line for risk, line in words.RISKS.items() if risk in risks)
    if own:
        yield tell.topic(words.OWN_TITLE if tell.dog else words.OWN_TITLE_UNNAMED, own)
    put_on = words.BUTTONED if buttoned else words.PUT_ON
    yield tell.topic(words.PUT_ON_TITLE, (*put_on, words.COVERED_EARS))
    yield tell.topic(words.FIRST_TITLE, words.FIRST_TIMES)
    checks = (
        *words.CHECKS,
        *((words.BUTTONS_FAST,) if buttoned else ()),
        *((words.SEWN_ON,) if sewn_on else ()),
    )
    yield tell.topic(words.CHECKS_TITLE, checks)
    pieces = buttoned or sewn_on
    swallowed = words.SWALLOWED_PIECE_TITLE if pieces else words.SWALLOWED_TITLE
    yield tell.topic(swallowed, words.SWALLOWED, loud=True)
    yield wash


def _maker(cleaner: Cleaner, job: Job) -> tuple[str, ...]:
    address = job.maker.address
    if len(address) > MOST_ADDRESS_LINES:
        cleaner.warnings.append(f"address: cut to {MOST_ADDRESS_LINES} lines.")
    lines = (job.maker.name, *address[:MOST_ADDRESS_LINES], job.maker.email)
    cleaned = (cleaner.line(line, "maker", LONGEST_LINE) for line in lines)
    return tuple(line for line in cleaned if line)


def _hood(cleaner: Cleaner, job: Job, tell: Teller, hood: str) -> tuple[str, ...]:
    lots = [lot for lot in _LOTS.split(cleaner.line(job.yarn.lot, "lot", LONGEST_LINE)) if lot]
    lot = tell.language.many(
        "Yarn lot {lots}", "Yarn lots {lots}", len(lots), lots=", ".join(lots)
    )
    return (
        tell.say(words.HOOD, hood=hood),
        tell.language.date(job.issued),
        _held(fibre_content(tell.language, job.yarn.fibres)),
        *((lot,) if lots else ()),
    )


def care_view(
    job: Job,
    plan: Plan,
    code: str = ENGLISH,
    *,
    buttoned: bool = False,
    sewn_on: bool = False,
    on_screen: bool = False,
) -> CareView:
    """Return the care sheet of a job.

    Args:
        job: the order.
        plan: the sizing plan; its profile tells the dog's risks.
        code: the code of the language that the buyer reads.
        buttoned: whether the collar opens with buttons.
        sewn_on: whether shapes are sewn on the hood.
        on_screen: whether it is for a screen, which has letters that no font here has.

    Returns:
        All texts cleaned; a line for each risk of this dog and for no other.

    Raises:
        ValueError: if there is no catalogue of the language.
    """
    cleaner = Cleaner(on_screen=on_screen)
    dog = cleaner.line(job.dog, "dog", LONGEST_DOG)
    dog = isolated(dog) if on_screen else dog
    hood = cleaner.line(job.hood_number, "hood number", LONGEST_DOG)
    tell = Teller(language(code), dog)
    typed = cleaner.line(job.wash, "washing", LONGEST_WASH)
    wash = Topic(
        tell.say(words.WASH_TITLE), (typed or tell.say(words.washing(job.yarn.fibres)),)
    )  # fmt: skip
    heading = tell.say(words.HEADING if dog else words.HEADING_UNNAMED)
    risks = _risks(plan.profile)
    return CareView(
        language=code,
        title=tell.say(words.TITLE, heading=heading),
        heading=heading,
        subheading=tell.say(words.SUBHEADING),
        maker_name=cleaner.line(job.maker.name, "maker", LONGEST_LINE),
        footer=tell.say(words.HOOD, hood=hood),
        topics=tuple(_topics(tell, risks, wash, buttoned=buttoned, sewn_on=sewn_on)),
        maker=_maker(cleaner, job),
        hood=_hood(cleaner, job, tell, hood),
        closing=(tell.say(words.NO_MEDICAL_DEVICE), tell.say(words.LAW)),
        warnings=tuple(dict.fromkeys(cleaner.warnings)),
    )
