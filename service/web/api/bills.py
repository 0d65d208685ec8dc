"""Payments, invoices and credit notes on the wire."""

from datetime import date, datetime
from typing import Annotated

from fastapi import Body, Response
from fastapi.responses import HTMLResponse
from sqlmodel import Session

from service.bills import HTML, bill_paper, bills_of, write_credit_note, write_invoice
from service.bodies import CreditIn, PaymentIn
from service.models import Bill, Payment
from service.orders import found
from service.payments import pay, payments_of
from service.planbodies import Amount, Out
from service.web.api.examples import CREDITS, PAYMENTS
from service.web.api.papers import AS_PDF, as_pdf
from service.web.api.readable import as_page
from service.web.dependencies import ClockOf, DatabaseOf, once
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("money")
PaymentKey = Annotated[
    str | None, once("the same key and payment twice is one payment", 100, "Idempotency-Key")
]
CreditKey = Annotated[
    str | None, once("the same key and sum twice is one credit note", 100, "Idempotency-Key")
]


class BillOut(Out):
    """An invoice or a credit note; `cancels` is the number of the invoice that it cancels.

    `hoods` are the orders that it is over, where they are several.
    """

    kind: str
    number: str
    issued: date
    total: Amount
    currency: str
    cancels: str
    hoods: list[str]


class PaymentOut(Out):
    """A payment; below zero it went back to the buyer."""

    amount: Amount
    on: date
    note: str
    at: datetime


class MoneyOut(Out):
    """What was billed and what was paid for an order, oldest first."""

    bills: list[BillOut]
    payments: list[PaymentOut]


def _bill(row: Bill) -> BillOut:
    return BillOut.model_validate(row)


def _payment(row: Payment) -> PaymentOut:
    return PaymentOut.model_validate(row)


@router.get("/orders/{number}/money", responses=documented(404, 422))
def show_money(number: str, database: DatabaseOf) -> MoneyOut:
    """Show what was billed and paid."""
    with database.reading() as session:
        order = found(session, number).first
        return MoneyOut(
            bills=[_bill(row) for row in bills_of(session, order.id)],
            payments=[_payment(row) for row in payments_of(session, order.id)],
        )


@router.post("/orders/{number}/payments", status_code=201, responses=documented(404, 422))
def write_payment(
    number: str,
    told: Annotated[PaymentIn, Body(openapi_examples=PAYMENTS)],
    database: DatabaseOf,
    clock: ClockOf,
    key: PaymentKey = None,
) -> PaymentOut:
    """Write a payment down; it is never changed, a slip is paid back by one below zero."""

    def work(session: Session) -> PaymentOut:
        return _payment(pay(session, found(session, number).first, told, clock(), key))

    return database.write(work)


@router.post("/orders/{number}/invoices", status_code=201, responses=documented(404, 409, 422))
def write_an_invoice(number: str, database: DatabaseOf, clock: ClockOf) -> BillOut:
    """Write the invoice of an order: numbered, and kept as it is."""
    with database.writing() as session:
        return _bill(write_invoice(session, found(session, number), clock()))


@router.post("/orders/{number}/credit-notes", status_code=201, responses=documented(404, 409, 422))
def write_a_credit_note(
    number: str,
    database: DatabaseOf,
    clock: ClockOf,
    told: Annotated[CreditIn | None, Body(openapi_examples=CREDITS)] = None,
    key: CreditKey = None,
) -> BillOut:
    """Cancel the invoice of an order by a credit note, or take a sum off it."""

    def work(session: Session) -> BillOut:
        return _bill(write_credit_note(session, found(session, number), clock(), told, key))

    return database.write(work)


@router.get(
    "/bills/{number}.pdf", response_class=Response, responses={**documented(404, 422), **AS_PDF}
)
def print_bill(number: str, database: DatabaseOf) -> Response:
    """Print an invoice or a credit note, byte for byte as it was issued."""
    with database.reading() as session:
        paper = bill_paper(session, number)
    return as_pdf(paper.content, number.replace(" ", "-"))


@router.get("/bills/{number}.html", response_class=HTMLResponse, responses=documented(404, 422))
def show_bill(number: str, database: DatabaseOf) -> HTMLResponse:
    """Show an invoice or a credit note as a page of its own, as it was issued."""
    with database.reading() as session:
        paper = bill_paper(session, number, HTML)
    return as_page(paper.content.decode())
