"""Invoices and credit notes: numbered without a gap, kept byte for byte as they were issued."""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from hashlib import sha256
from typing import Final

from sqlalchemy import bindparam
from sqlmodel import Session, col, select

from documents import bill as paper_bill
from documents.bill_view import BillView, credit_note_view, invoice_view
from documents.billing import Billing
from documents.job import Job
from documents.language import Language, language
from documents.page import Paper
from service.bodies import CreditIn, RatesIn, ShopIn
from service.charging import Credit, credit_of, invoice_of
from service.errors import NotAllowedError, NotFoundError, UnreadableError
from service.jobs import job_of, plan_for
from service.models import Bill, OrderEvent, PaperCopy
from service.numbering import next_of
from service.onlyonce import done_at, remember
from service.orders import Found
from service.papershtml import bill_html
from service.paperwork import language_of
from service.payments import paid_of
from service.planning import rates_of
from service.shop import shop_of
from service.states import State
from service.together import priced
from sizing.plan import Plan
from sizing.rates import Rates

PDF: Final = "application/pdf"
HTML: Final = "text/html"
PROMISED: Final = frozenset({State.ACCEPTED, State.MAKING, State.FINISHED, State.HANDED_OVER})
"""States in which a price was agreed upon, so that an invoice can be written."""


class BillKind(StrEnum):
    """Papers about money that are numbered and kept."""

    INVOICE = "invoice"
    CREDIT_NOTE = "credit note"


# Built once: each page of an order asks it.
_BILLS: Final = select(Bill).where(col(Bill.order_id) == bindparam("order")).order_by(col(Bill.id))


def bills_of(session: Session, order_id: int | None) -> list[Bill]:
    """Return an order's invoices and credit notes, oldest first."""
    return list(session.exec(_BILLS, params={"order": order_id}))


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
    session: Session,
    every: Sequence[Found],
    kind: BillKind,
    view: BillView,
    billing: Billing,
    now: datetime,
) -> Bill:
    """Draw a bill, keep its bytes and its row with the first order, and write the histories."""
    shop, _ = shop_of(session)
    first = every[0].first
    order_id = first.id or 0
    copies = [
        PaperCopy(
            order_id=order_id,
            kind=kind.value,
            name=f"{kind.value.replace(' ', '-')}-{billing.number}.{ending}",
            media=media,
            sha256=sha256(content).hexdigest(),
            content=content,
            order_version=first.version,
            made_at=now,
        )
        for ending, media, content in (
            ("pdf", PDF, paper_bill.render(view, Paper(shop.paper))),
            ("html", HTML, bill_html(view).encode()),
        )
    ]
    session.add_all(copies)
    session.flush()
    prices = [plan_for(one).price for one in every]
    total = _total(every) if billing.credited is None else billing.credited
    row = Bill(
        order_id=order_id,
        kind=kind.value,
        number=billing.number,
        issued=billing.issued,
        total=str(total),
        currency=prices[0].currency,
        cancels=billing.cancels,
        paper_id=copies[0].id or 0,
        hoods=[one.order.number for one in every] if len(every) > 1 else [],
        at=now,
    )
    session.add(row)
    change = {kind.value: [None, billing.number]}
    for one in every:
        told = OrderEvent(order_id=one.order.id or 0, at=now, kind="billed", change=change)
        session.add(told)
    session.flush()
    return row


def write_invoice(session: Session, found: Found, now: datetime) -> Bill:
    """Write the invoice of an order and of those that go together with it.

    Raises:
        NotAllowedError: if nothing was agreed upon, or there is an invoice already.
        NoPlanError: if a finding still stops the plan.
    """
    every = priced(found)
    for one in every:
        if State(one.order.state) not in PROMISED:
            number, state = one.order.number, one.order.state
            reason = f"Order {number} is “{state}”: accept it, then write its invoice."
            raise NotAllowedError(reason)
    if known := open_invoice(bills_of(session, found.first.id)):
        reason = (
            f"Order {found.order.number} has invoice {known.number} already. To change it, cancel"
            " it with a credit note, then write a new one."
        )
        raise NotAllowedError(reason)
    shop, _ = shop_of(session)
    number = next_of(session, "invoices", "R", now.year)
    paid = paid_of(session, found.first.id)
    billing = invoice_of(every[0], shop, number, now.date(), paid)
    view = invoice_view(_hoods(every, shop), _rates(every[0]), billing, _said(every[0]))
    return _keep(session, every, BillKind.INVOICE, view, billing, now)


def _credit(
    session: Session, every: Sequence[Found], invoice: Bill, told: CreditIn | None
) -> Credit:
    """Return what a credit note takes off: a sum, or all that is left.

    Raises:
        UnreadableError: if the sum is more than is left of the invoice.
    """
    earlier = credited_of(bills_of(session, every[0].first.id), invoice)
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
    paid = paid_of(session, every[0].first.id)
    return Credit(
        amount=amount,
        closes=amount == left,
        # The lines are those of today's price: told only where they are the invoice's too.
        by_line=told is None and not earlier and _total(every) == left,
        why=told.reason if told else "",
        paid=paid,
        back=max(paid.amount - (left - amount), Decimal(0)),
    )


def write_credit_note(
    session: Session,
    found: Found,
    now: datetime,
    told: CreditIn | None = None,
    key: str | None = None,
) -> Bill:
    """Cancel an invoice by a credit note over all its hoods, or take a sum off it.

    With a key, the same twice is one credit note.

    Raises:
        KeyReusedError: if the key came with another credit note.
        NotAllowedError: if there is no invoice to cancel.
        UnreadableError: if the sum is more than is left of the invoice.
    """
    bills = bills_of(session, found.first.id)
    if at := done_at(session, found.first, "credit note", key, told):
        return next(one for one in bills if one.at == at and one.kind == BillKind.CREDIT_NOTE)
    invoice = open_invoice(bills)
    if invoice is None:
        reason = f"Order {found.order.number} has no invoice that could be cancelled."
        raise NotAllowedError(reason)
    known = {one.order.number: one for one in (found, *found.beside)}
    every = [known[one] for one in invoice.hoods] or [found]
    credit = _credit(session, every, invoice, told)
    shop, _ = shop_of(session)
    number = next_of(session, "credit notes", "C", now.year)
    billing = credit_of(every[0], shop, number, now.date(), invoice, credit)
    view = credit_note_view(_hoods(every, shop), _rates(every[0]), billing, _said(every[0]))
    note = _keep(session, every, BillKind.CREDIT_NOTE, view, billing, now)
    remember(session, found.first, "credit note", key, told, now)
    return note


def _hoods(every: Sequence[Found], shop: ShopIn) -> list[tuple[Job, Plan]]:
    return [(job_of(one, shop), plan_for(one)) for one in every]


def _total(every: Sequence[Found]) -> Decimal:
    """Return what some hoods cost by their plans of today."""
    return sum((plan_for(one).price.total for one in every), Decimal(0))


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
