"""The hoods on a document about money: what each is, and the lines of its price."""

from dataclasses import dataclass
from typing import Final

from documents.bill_lines import amounts_of, name_of
from documents.bill_money import Sums, money, sums_of
from documents.bill_words import BUTTONED_COLLAR, CLOSED_COLLAR
from documents.billing import Billing
from documents.fibre_words import fibre_content
from documents.job import Job
from documents.language import Language
from documents.lengths import FIELD_NAMES, length
from documents.text import Cleaner
from sizing.plan import Plan
from sizing.rows import PartName

LONGEST_NAME: Final = 40
LONGEST_WHY: Final = 400


@dataclass(frozen=True, slots=True)
class HoodLines:
    """One hood: its heading, what it is, and its lines with their amounts."""

    title: str
    about: tuple[str, ...]
    lines: tuple[tuple[str, str], ...]


def _title(job: Job, cleaner: Cleaner, said: Language) -> str:
    hood = cleaner.line(job.hood_number, "hood number", LONGEST_NAME)
    dog = cleaner.line(job.dog, "dog", LONGEST_NAME)
    if dog:
        return said.say("Hood {hood}, for {dog}", hood=hood, dog=dog)
    return said.say("Hood {hood}", hood=hood)


def _measured(job: Job, said: Language) -> str:
    named = (
        f"{said.say(FIELD_NAMES[one.field])} {length(one.used_mm, job.unit, said)}"
        for one in job.measurements
    )
    return said.say("Made to these lengths: {lengths}", lengths=", ".join(named))


def _about(
    job: Job, plan: Plan, cleaner: Cleaner, said: Language, *, measured: bool
) -> tuple[str, ...]:
    yarn = cleaner.line(job.yarn.name, "yarn", LONGEST_NAME)
    buttoned = plan.pattern.part(PartName.COLLAR).overlap > 0
    breed = cleaner.line(job.breed, "breed", LONGEST_NAME)
    found = [breed] if breed else []
    found.append(said.say(BUTTONED_COLLAR if buttoned else CLOSED_COLLAR))
    found.append(
        said.say("Yarn: {yarn}, {fibres}", yarn=yarn, fibres=fibre_content(said, job.yarn.fibres))
    )
    if measured and job.measurements:
        found.append(_measured(job, said))
    return tuple(found)


def credited_lines(
    job: Job, billing: Billing, sums: Sums, cleaner: Cleaner, said: Language
) -> HoodLines:
    """Return the one line of a sum that is taken off, before tax, and what for."""
    why = cleaner.line(billing.why, "reason", LONGEST_WHY)
    line = (said.say("Taken off"), money(sums.total - sums.tax, sums, said))
    return HoodLines(_title(job, cleaner, said), (why,) if why else (), (line,))


def hood_lines(
    job: Job, plan: Plan, billing: Billing, cleaner: Cleaner, said: Language, *, measured: bool
) -> HoodLines:
    """Return one hood as it stands on the document.

    Args:
        job: the order.
        plan: its plan, with the price.
        billing: how much of the price is shown.
        cleaner: collects what had to be changed.
        said: the buyer's language.
        measured: whether the lengths are named that the hood is made to.
    """
    sums = sums_of([plan.price])
    lines = tuple(
        (name_of(amount, cleaner, said), money(amount.amount, sums, said))
        for amount in amounts_of(plan.price, billing.detail)
    )
    about = _about(job, plan, cleaner, said, measured=measured)
    return HoodLines(_title(job, cleaner, said), about, lines)
