"""Invoices and credit notes: numbered without a gap, kept byte for byte as they were issued."""

from datetime import datetime
from enum import StrEnum
from hashlib import sha256
from typing import Final

from sqlmodel import Session, col, select

from documents import bill as paper_bill
from documents.bill_view import BillView, credit_note_view, invoice_view
from documents.billing import Billing
from documents.language import Language, language
from documents.page import Paper
from service.bodies import RatesIn
from service.charging import credit_of, invoice_of
from service.errors import NotAllowedError, NotFoundError
from service.jobs import job_of, plan_for
from service.models import Bill, OrderEvent, PaperCopy
from service.numbering import next_of
from service.orders import Found
from service.paperwork import language_of
from service.payments import paid_of
from service.planning import rates_of
from service.shop import shop_of
from service.states import State
from sizing.rates import Rates

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
    """Return the invoice that no credit note has cancelled, or None."""
    cancelled = {one.cancels for one in bills if one.kind == BillKind.CREDIT_NOTE}
    left = [one for one in bills if one.kind == BillKind.INVOICE and one.number not in cancelled]
    return left[-1] if left else None


def _keep(
    session: Session, found: Found, kind: BillKind, view: BillView, billing: Billing, now: datetime
) -> Bill:
    """Draw a bill, keep its bytes and its row, and write the history."""
    shop, _ = shop_of(session)
    content = paper_bill.render(view, Paper(shop.paper))
    order_id = found.order.id or 0
    copy = PaperCopy(
        order_id=order_id,
        kind=kind.value,
        name=f"{kind.value.replace(' ', '-')}-{billing.number}.pdf",
        media="application/pdf",
        sha256=sha256(content).hexdigest(),
        content=content,
        order_version=found.order.version,
        made_at=now,
    )
    session.add(copy)
    session.flush()
    price = plan_for(found).price
    row = Bill(
        order_id=order_id,
        kind=kind.value,
        number=billing.number,
        issued=billing.issued,
        total=str(price.total),
        currency=price.currency,
        cancels=billing.cancels,
        paper_id=copy.id or 0,
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


def write_credit_note(session: Session, found: Found, now: datetime) -> Bill:
    """Cancel an order's invoice by a credit note.

    Raises:
        NotAllowedError: if there is no invoice to cancel.
    """
    invoice = open_invoice(bills_of(session, found.order.id))
    if invoice is None:
        reason = f"Order {found.order.number} has no invoice that could be cancelled."
        raise NotAllowedError(reason)
    shop, _ = shop_of(session)
    number = next_of(session, "credit notes", "C", now.year)
    billing = credit_of(found, shop, number, now.date(), invoice)
    view = credit_note_view(
        [(job_of(found, shop), plan_for(found))], _rates(found), billing, _said(found)
    )
    return _keep(session, found, BillKind.CREDIT_NOTE, view, billing, now)


def _rates(found: Found) -> Rates:
    return rates_of(RatesIn.model_validate(found.order.rates))


def _said(found: Found) -> Language:
    return language(language_of(found))


def bill_paper(session: Session, number: str) -> PaperCopy:
    """Return an invoice or credit note as it was issued.

    Raises:
        NotFoundError: if there is none of that number.
    """
    query = select(Bill).where(col(Bill.number) == number[:40].replace("\0", ""))
    row = session.exec(query).first()
    if row is None:
        message = f"There is no invoice or credit note {number[:40]}."
        raise NotFoundError(message)
    return session.get_one(PaperCopy, row.paper_id)
