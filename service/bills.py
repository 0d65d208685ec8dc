"""Invoices and credit notes: numbered without a gap, kept byte for byte as they were issued."""

from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from hashlib import sha256
from typing import Final

from sqlmodel import Session, col, select

from documents import bill as paper_bill
from documents.bill_view import BillView, credit_note_view, invoice_view
from documents.billing import Billing
from documents.language import Language, language
from documents.page import Paper
from service.bodies import CreditIn, RatesIn
from service.charging import Credit, credit_of, invoice_of
from service.errors import NotAllowedError, NotFoundError, UnreadableError
from service.jobs import job_of, plan_for
from service.models import Bill, OrderEvent, PaperCopy
from service.numbering import next_of
from service.orders import Found
from service.papershtml import bill_html
from service.paperwork import language_of
from service.payments import paid_of
from service.planning import rates_of
from service.shop import shop_of
from service.states import State
from sizing.rates import Rates

PDF: Final = "application/pdf"
HTML: Final = "text/html"
PROMISED: Final = frozenset({State.ACCEPTED, State.MAKING, State.FINISHED, State.HANDED_OVER})
"""States in which a price was agreed upon, so that an invoice can be written."""


class BillKind(StrEnum):
    """Papers about money that are numbered and kept."""

    INVOICE = "invoice"
    CREDIT_NOTE = "credit note"


def bills_of(session: Session, order_id: int | None) -> list[Bill]:
    """Return an order's invoices and credit notes, oldest first."""
    query = select(Bill).where(col(Bill.order_id) == order_id).order_by(col(Bill.id))
    return list(session.exec(query))


def open_invoice(bills: list[Bill]) -> Bill | None:
    """Return the invoice of which credit notes have left something, or None."""
    left = [
        one
        for one in bills
        if one.kind == BillKind.INVOICE and credited_of(bills, one) < Decimal(one.total)
    ]
    return left[-1] if left else None


def credited_of(bills: list[Bill], invoice: Bill) -> Decimal:
    """Return what credit notes have taken off an invoice."""
    taken = (Decimal(one.total) for one in bills if one.cancels == invoice.number)
    return sum(taken, Decimal(0))


def _keep(
    session: Session, found: Found, kind: BillKind, view: BillView, billing: Billing, now: datetime
) -> Bill:
    """Draw a bill, keep its bytes and its row, and write the history."""
    shop, _ = shop_of(session)
    order_id = found.order.id or 0
    copies = [
        PaperCopy(
            order_id=order_id,
            kind=kind.value,
            name=f"{kind.value.replace(' ', '-')}-{billing.number}.{ending}",
            media=media,
            sha256=sha256(content).hexdigest(),
            content=content,
            order_version=found.order.version,
            made_at=now,
        )
        for ending, media, content in (
            ("pdf", PDF, paper_bill.render(view, Paper(shop.paper))),
            ("html", HTML, bill_html(view).encode()),
        )
    ]
    session.add_all(copies)
    session.flush()
    price = plan_for(found).price
    total = price.total if billing.credited is None else billing.credited
    row = Bill(
        order_id=order_id,
        kind=kind.value,
        number=billing.number,
        issued=billing.issued,
        total=str(total),
        currency=price.currency,
        cancels=billing.cancels,
        paper_id=copies[0].id or 0,
        at=now,
    )
    session.add(row)
    change = {kind.value: [None, billing.number]}
    session.add(OrderEvent(order_id=order_id, at=now, kind="billed", change=change))
    session.flush()
    return row


def write_invoice(session: Session, found: Found, now: datetime) -> Bill:
    """Write the invoice of an order.

    Raises:
        NotAllowedError: if nothing was agreed upon, or there is an invoice already.
        NoPlanError: if a finding still stops the plan.
    """
    order = found.order
    if State(order.state) not in PROMISED:
        reason = f"Order {order.number} is “{order.state}”: accept it, then write its invoice."
        raise NotAllowedError(reason)
    if known := open_invoice(bills_of(session, order.id)):
        reason = (
            f"Order {order.number} has invoice {known.number} already. To change it, cancel it"
            " with a credit note, then write a new one."
        )
        raise NotAllowedError(reason)
    shop, _ = shop_of(session)
    number = next_of(session, "invoices", "R", now.year)
    billing = invoice_of(found, shop, number, now.date(), paid_of(session, order.id))
    view = invoice_view(
        [(job_of(found, shop), plan_for(found))], _rates(found), billing, _said(found)
    )
    return _keep(session, found, BillKind.INVOICE, view, billing, now)


def _credit(session: Session, found: Found, invoice: Bill, told: CreditIn | None) -> Credit:
    """Return what a credit note takes off: a sum, or all that is left.

    Raises:
        UnreadableError: if the sum is more than is left of the invoice.
    """
    earlier = credited_of(bills_of(session, found.order.id), invoice)
    left = Decimal(invoice.total) - earlier
    amount = left if told is None else told.amount
    sentence = ""
    if amount > left:
        sentence = f"At most {left} {invoice.currency} is left of invoice {invoice.number}."
    elif amount != amount.quantize(left):
        sentence = f"Write the sum with as many decimals as the invoice: {left}."
    if sentence:
        raise UnreadableError(sentence, {"amount": sentence})
    amount = amount.quantize(left)
    price = plan_for(found).price
    paid = paid_of(session, found.order.id)
    return Credit(
        amount=amount,
        closes=amount == left,
        # The lines are those of today's price: told only where they are the invoice's too.
        by_line=told is None and not earlier and price.total == left,
        why=told.reason if told else "",
        paid=paid,
        back=max(paid.amount - (left - amount), Decimal(0)),
    )


def write_credit_note(
    session: Session, found: Found, now: datetime, told: CreditIn | None = None
) -> Bill:
    """Cancel an order's invoice by a credit note, or take a sum off it.

    Raises:
        NotAllowedError: if there is no invoice to cancel.
        UnreadableError: if the sum is more than is left of the invoice.
    """
    invoice = open_invoice(bills_of(session, found.order.id))
    if invoice is None:
        reason = f"Order {found.order.number} has no invoice that could be cancelled."
        raise NotAllowedError(reason)
    credit = _credit(session, found, invoice, told)
    shop, _ = shop_of(session)
    number = next_of(session, "credit notes", "C", now.year)
    billing = credit_of(found, shop, number, now.date(), invoice, credit)
    view = credit_note_view(
        [(job_of(found, shop), plan_for(found))], _rates(found), billing, _said(found)
    )
    return _keep(session, found, BillKind.CREDIT_NOTE, view, billing, now)


def _rates(found: Found) -> Rates:
    return rates_of(RatesIn.model_validate(found.order.rates))


def _said(found: Found) -> Language:
    return language(language_of(found))


def bill_paper(session: Session, number: str, media: str = PDF) -> PaperCopy:
    """Return an invoice or credit note as it was issued, on paper or as a page.

    Raises:
        NotFoundError: if there is none of that number.
    """
    query = select(Bill).where(col(Bill.number) == number[:40].replace("\0", ""))
    row = session.exec(query).first()
    paper = session.get(PaperCopy, row.paper_id) if row else None
    if paper and media != PDF:
        name = f"{paper.name.removesuffix('.pdf')}.html"
        twin = select(PaperCopy).where(
            col(PaperCopy.order_id) == paper.order_id, col(PaperCopy.name) == name
        )
        paper = session.exec(twin).first()
    if paper is None:
        message = f"There is no invoice or credit note {number[:40]}."
        raise NotFoundError(message)
    return paper
