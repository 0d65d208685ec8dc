"""What a quote, an invoice or a credit note needs beside the order and its price."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from sizing.errors import ValueOutOfRangeError


class Detail(StrEnum):
    """How much of the price the buyer sees: yarn, work and workshop, or one line a hood."""

    GROUPED = "grouped"
    SUMMED = "summed"


@dataclass(frozen=True, slots=True)
class Billing:
    """One document about money; texts are as typed and may hold anything.

    Attributes:
        number: the document's own number.
        issued: its date.
        buyer_address: the lines of the buyer's postal address.
        valid_until: the last day on which a quote holds, or None.
        pay_by: the last day to pay an invoice, or None.
        terms: payment terms in the maker's words.
        payment_note: how to pay, such as a bank account.
        paid: what the buyer has paid so far.
        paid_on: when; None where nothing is paid or the day is not known.
        reference: what the buyer wants to find on the document.
        tax_number: the maker's number, where the law of the place asks for one.
        cancels: the number of the invoice that a credit note cancels.
        cancels_date: the date of that invoice.
        credited: the sum that a credit note takes off the invoice; None for all of it, line by
            line.
        closes: whether nothing of the invoice is left after a sum was taken off.
        why: what the sum is taken off for, in the maker's words.
        back: what goes back to the buyer with a credit note; None for all that was paid.
        detail: how much of the price is shown.
    """

    number: str
    issued: date
    buyer_address: tuple[str, ...] = ()
    valid_until: date | None = None
    pay_by: date | None = None
    terms: str = ""
    payment_note: str = ""
    paid: Decimal = Decimal(0)
    paid_on: date | None = None
    reference: str = ""
    tax_number: str = ""
    cancels: str = ""
    cancels_date: date | None = None
    credited: Decimal | None = None
    closes: bool = False
    why: str = ""
    back: Decimal | None = None
    detail: Detail = Detail.GROUPED

    def __post_init__(self) -> None:
        """Refuse a payment or a credit that is none."""
        if not (self.paid.is_finite() and self.paid >= 0):
            raise ValueOutOfRangeError("paid", "What was paid is 0 or more.")
        if self.credited is not None and not (self.credited.is_finite() and self.credited > 0):
            raise ValueOutOfRangeError("credited", "What is credited is more than 0.")
