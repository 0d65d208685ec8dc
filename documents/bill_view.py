"""A quote, an invoice, a receipt or a credit note, decided."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from documents import bill_words as words
from documents.bill_hoods import HoodLines, credited_lines, hood_lines
from documents.bill_money import Pair, Sums, money, part_of, sums_of, totals_of
from documents.bill_words import Kind
from documents.billing import Billing
from documents.job import Job
from documents.language import Language, language
from documents.text import Cleaner
from sizing.errors import ValueOutOfRangeError
from sizing.plan import Plan
from sizing.rates import Rates

LONGEST_NUMBER: Final = 24
LONGEST_LINE: Final = 70
MOST_ADDRESS_LINES: Final = 7
MOST_LINES: Final = 10
LONGEST_TEXT: Final = 1200
_ENGLISH: Final = language()


@dataclass(frozen=True, slots=True)
class BillView:
    """A document about money with nothing left to decide.

    Attributes:
        facts_title, facts: dates, numbers and references, each with its name.
        maker, buyer: names and addresses, line by line, the heading first.
        totals: names and amounts: before the total, the total, after it.
        notes: headings and their texts.
        language: the code of the language that all is said in.
        warnings: what had to be changed in typed texts, for the maker's screen.
    """

    title: str
    heading: str
    below: str
    maker_name: str
    footer: str
    language: str
    facts_title: str
    facts: tuple[Pair, ...]
    maker: tuple[str, ...]
    buyer: tuple[str, ...]
    hoods: tuple[HoodLines, ...]
    totals: tuple[tuple[Pair, ...], Pair, tuple[Pair, ...]]
    notes: tuple[Pair, ...]
    caution: str
    law: str
    warnings: tuple[str, ...]


def quote_view(
    hoods: Sequence[tuple[Job, Plan]], rates: Rates, billing: Billing, said: Language = _ENGLISH
) -> BillView:
    """Return a quote for one or more hoods of one buyer.

    Args:
        hoods: each order and its plan, which holds the price; the first names the buyer.
        rates: those that the prices were made with; their tax is named.
        billing: number, dates and terms.
        said: the buyer's language.

    Raises:
        ValueOutOfRangeError: if there is no hood, or their currencies differ.
    """
    return _view(Kind.QUOTE, hoods, rates, billing, said)


def invoice_view(
    hoods: Sequence[tuple[Job, Plan]], rates: Rates, billing: Billing, said: Language = _ENGLISH
) -> BillView:
    """Return an invoice; one that is paid in full is a receipt too. As `quote_view`."""
    owed = sum((plan.price.total for _, plan in hoods), Decimal(0))
    kind = Kind.RECEIPT if billing.paid and billing.paid >= owed else Kind.INVOICE
    return _view(kind, hoods, rates, billing, said)


def credit_note_view(
    hoods: Sequence[tuple[Job, Plan]], rates: Rates, billing: Billing, said: Language = _ENGLISH
) -> BillView:
    """Return a credit note; `billing.cancels` names the invoice it cancels or lessens.

    Raises:
        ValueOutOfRangeError: as `quote_view`, or if no invoice is named.
    """
    if not billing.cancels.strip():
        raise ValueOutOfRangeError("cancels", "Name the invoice that the credit note cancels.")
    return _view(Kind.CREDIT, hoods, rates, billing, said)


def _people(cleaner: Cleaner, where: str, lines: Sequence[str]) -> tuple[str, ...]:
    if len(lines) > MOST_LINES:
        cleaner.warnings.append(f"{where}: cut to {MOST_LINES} lines.")
    cleaned = (cleaner.line(line, where, LONGEST_LINE) for line in lines[:MOST_LINES])
    return tuple(line for line in cleaned if line)


def _facts(
    kind: Kind, job: Job, billing: Billing, cleaner: Cleaner, said: Language
) -> tuple[Pair, ...]:
    def number(text: str, where: str) -> str:
        return cleaner.line(text, where, LONGEST_NUMBER)

    found = [(said.say("Date"), said.date(billing.issued))]
    if kind is Kind.QUOTE and billing.valid_until:
        found.append((said.say("Valid until"), said.date(billing.valid_until)))
    if kind is Kind.INVOICE and billing.pay_by:
        found.append((said.say("To be paid by"), said.date(billing.pay_by)))
    if kind is Kind.CREDIT:
        word = said.say("Cancels invoice") if _whole(billing) else said.say("Credits invoice")
        found.append((word, number(billing.cancels, "cancels")))
        if billing.cancels_date:
            found.append((said.say("Date of the invoice"), said.date(billing.cancels_date)))
    found.append((said.say("Order"), number(job.order_number, "order number")))
    if billing.reference:
        found.append((said.say("Your reference"), number(billing.reference, "reference")))
    return tuple(found)


def _whole(billing: Billing) -> bool:
    """Return whether nothing of the invoice is left after a credit note."""
    return billing.credited is None or billing.closes


def _credit_note(sums: Sums, billing: Billing, cleaner: Cleaner, said: Language) -> Pair:
    """Return what a credit note does to its invoice."""
    number = cleaner.line(billing.cancels, "cancels", LONGEST_NUMBER)
    if billing.credited is None:
        text = said.say(words.CANCELLED, number=number)
    else:
        message = words.CLOSED if billing.closes else words.LESSENED
        text = said.say(message, number=number, amount=money(sums.total, sums, said))
    title = words.CANCELLED_TITLE if _whole(billing) else words.LESSENED_TITLE
    return said.say(title), text


def _notes(
    kind: Kind, sums: Sums, rates: Rates, billing: Billing, cleaner: Cleaner, said: Language
) -> tuple[Pair, ...]:
    terms = " ".join(cleaner.lines(billing.terms, "terms", LONGEST_TEXT))
    how = " ".join(cleaner.lines(billing.payment_note, "payment note", LONGEST_TEXT))
    found = []
    if kind is Kind.QUOTE and billing.valid_until is None:
        found.append((said.say("How long it holds"), said.say(words.QUOTE_OPEN)))
    if kind is Kind.CREDIT:
        found.append(_credit_note(sums, billing, cleaner, said))
    if terms:
        found.append((said.say("Terms of payment"), terms))
    if how:
        found.append((said.say("How it is paid"), how))
    if not (rates.tax or sums.tax):
        found.append((said.say("Tax"), said.say(words.NO_TAX)))
    return tuple(found)


def _view(
    kind: Kind,
    hoods: Sequence[tuple[Job, Plan]],
    rates: Rates,
    billing: Billing,
    said: Language,
) -> BillView:
    sums = sums_of([plan.price for _, plan in hoods])
    if credited := billing.credited if kind is Kind.CREDIT else None:
        sums = part_of(sums, credited)
    cleaner = Cleaner()
    job = hoods[0][0]
    number = cleaner.line(billing.number, "number", LONGEST_NUMBER)
    title = said.say(words.TITLES[kind], number=number)
    hood = cleaner.line(job.hood_number, "hood number", LONGEST_NUMBER)
    name = cleaner.line(job.maker.name, "maker", LONGEST_LINE)
    own = said.say("Tax number: {number}", number=billing.tax_number) if billing.tax_number else ""
    maker = (job.maker.name, *job.maker.address[:MOST_ADDRESS_LINES], job.maker.email, own)
    below = said.many("One hood, crocheted to measure", "{number} hoods, crocheted to measure",
                      len(hoods))  # fmt: skip
    return BillView(
        title=said.say("{document}, hood {hood}", document=title, hood=hood),
        heading=title,
        below=below,
        maker_name=name,
        footer=title,
        language=said.code,
        facts_title=said.say("Details"),
        facts=_facts(kind, job, billing, cleaner, said),
        maker=(said.say("From"), *_people(cleaner, "maker", maker)),
        buyer=(said.say("To"), *_people(cleaner, "buyer", (job.buyer, *billing.buyer_address))),
        hoods=(credited_lines(job, billing, sums, cleaner, said),)
        if credited
        else tuple(
            hood_lines(one, plan, billing, cleaner, said, measured=kind is Kind.QUOTE)
            for one, plan in hoods
        ),
        totals=totals_of(kind, sums, rates, billing, said),
        notes=_notes(kind, sums, rates, billing, cleaner, said),
        caution=said.say(words.CAUTION),
        law=said.say(words.LAW),
        warnings=tuple(dict.fromkeys(cleaner.warnings)),
    )
