"""What a quote, an invoice and a credit note say beside the price: numbers, dates, terms."""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from documents.billing import Billing
from service.bodies import ShopIn
from service.jobs import address_lines
from service.models import Bill
from service.orders import Found
from service.payments import Paid


@dataclass(frozen=True, slots=True)
class Credit:
    """What a credit note takes off an invoice.

    Attributes:
        amount: the sum.
        closes: whether nothing of the invoice is left then.
        by_line: whether it is told line by line, as the invoice was.
        why: what for.
        paid: what the buyer has paid.
        back: what of that goes back.
    """

    amount: Decimal
    closes: bool
    by_line: bool
    why: str
    paid: Paid
    back: Decimal


def _address(found: Found) -> tuple[str, ...]:
    return address_lines(found.asked.buyer.address)


def quote_of(found: Found, shop: ShopIn) -> Billing:
    """Return what an order's quote says; its number is the order's, its date the last change."""
    issued = found.order.changed_at.date()
    return Billing(
        number=found.order.number,
        issued=issued,
        buyer_address=_address(found),
        valid_until=issued + timedelta(days=shop.quote_days),
        terms=shop.payment_terms,
        payment_note=shop.payment_note,
        tax_number=shop.tax_number,
    )


def invoice_of(found: Found, shop: ShopIn, number: str, day: date, paid: Paid) -> Billing:
    """Return what an invoice of a day says."""
    return Billing(
        number=number,
        issued=day,
        buyer_address=_address(found),
        pay_by=day + timedelta(days=shop.pay_days),
        terms=shop.payment_terms,
        payment_note=shop.payment_note,
        paid=paid.amount,
        paid_on=paid.on,
        reference=found.order.number,
        tax_number=shop.tax_number,
    )


def credit_of(
    found: Found, shop: ShopIn, number: str, day: date, cancelled: Bill, credit: Credit
) -> Billing:
    """Return what the credit note of an invoice says."""
    return Billing(
        number=number,
        issued=day,
        buyer_address=_address(found),
        reference=found.order.number,
        tax_number=shop.tax_number,
        cancels=cancelled.number,
        cancels_date=cancelled.issued,
        credited=None if credit.by_line else credit.amount,
        closes=credit.closes,
        why=credit.why,
        paid=max(credit.paid.amount, Decimal(0)),
        paid_on=credit.paid.on,
        back=credit.back,
    )
