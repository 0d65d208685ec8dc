"""Money on the order's page: what was billed, what was paid, and what is left."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from fastapi.responses import RedirectResponse, Response
from sqlmodel import Session

from service.bills import (
    PROMISED,
    bills_of,
    credited_of,
    open_invoice,
    write_credit_note,
    write_invoice,
)
from service.bodies import CreditIn, PaymentIn
from service.db import Database
from service.errors import KeyReusedError, UnreadableError
from service.orders import Found, found
from service.payments import paid_by, pay, payments_of
from service.states import State
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.typed import Kind, Typed, last, number_text, read_body, tree_of
from service.web.parts import page_part

router = page_part("/orders")
SEE_OTHER: Final = 303
MEANWHILE: Final = (
    "Something was written down here meanwhile. Look at what stands there; if this is another one,"
    " send it again."
)
PAYMENT: Final = {
    "amount": "A payment of",
    "on": "On",
    "note": "Note",
    "credit_amount": "Take off",
    "credit_reason": "What for",
}
FIELDS: Final[dict[str, Kind]] = {"amount": Kind.TEXT, "on": Kind.TEXT, "note": Kind.TEXT}


@dataclass(frozen=True, slots=True)
class BillLine:
    """An invoice or a credit note: what it is, its number, its day and its sum."""

    kind: str
    number: str
    issued: date
    total: str


@dataclass(frozen=True, slots=True)
class MoneyView:
    """What was billed and paid.

    Attributes:
        bills: oldest first.
        payments: day, sum and note of each, oldest first.
        left: what is still to be paid, or nothing where no price is known.
        can_bill: whether an invoice can be written now.
        can_cancel: whether there is an invoice to cancel.
    """

    bills: tuple[BillLine, ...]
    payments: tuple[tuple[date, str, str], ...]
    left: str
    can_bill: bool
    can_cancel: bool


def money_view(session: Session, order: Found) -> MoneyView:
    """Return what was billed and paid for an order."""
    row, first, every = order.order, order.first.id, order.together
    plans = [one.plan for one in every if one.plan]
    plan = order.plan if len(plans) == len(every) else None
    total = sum((one.price.total for one in plans), Decimal(0))
    bills = bills_of(session, first)
    payments = payments_of(session, first)
    paid = paid_by(payments).amount
    invoice = open_invoice(bills)
    promised = State(row.state) in PROMISED
    lone = len(every) == 1 and bool(order.beside)  # a cancelled one of several
    agreed = all(State(one.order.state) in PROMISED for one in every)
    left = ""
    if plan and (promised or (paid and not lone)):
        off = credited_of(bills, invoice) if invoice else Decimal(0)
        left = f"{total - off - paid} {plan.price.currency}"
    return MoneyView(
        bills=tuple(
            BillLine(one.kind, one.number, one.issued, f"{one.total} {one.currency}")
            for one in bills
        ),
        payments=tuple((one.on, one.amount, one.note) for one in payments),
        left=left,
        can_bill=plan is not None and agreed and invoice is None,
        can_cancel=invoice is not None,
    )


@router.post("/{number}/invoice")
def bill(number: str, database: DatabaseOf, clock: ClockOf, _typed: Typed) -> Response:
    """Write the invoice."""
    with database.writing() as session:
        write_invoice(session, found(session, number), clock())
    return RedirectResponse(f"/orders/{number}#money", SEE_OTHER)


@router.post("/{number}/credit-note")
def cancel_bill(number: str, database: DatabaseOf, clock: ClockOf, _typed: Typed) -> Response:
    """Cancel the invoice by a credit note."""
    with database.writing() as session:
        write_credit_note(session, found(session, number), clock())
    return RedirectResponse(f"/orders/{number}#money", SEE_OTHER)


def read_credit(typed: dict[str, tuple[str, ...]]) -> CreditIn:
    """Return the sum to take off the invoice that is typed.

    Raises:
        UnreadableError: naming every field that is wrong, by the form's own names.
    """
    tree: dict[str, object] = {"amount": "1", "reason": last(typed, "credit_reason")}
    try:
        tree["amount"] = number_text(last(typed, "credit_amount"), Kind.NUMBER)
        return read_body(CreditIn, tree, {}, tree)
    except UnreadableError as error:
        raise _of_credit(error.fields) from error
    except ValueError as error:
        raise _of_credit({"amount": str(error)}) from error


def _of_credit(wrong: Mapping[str, str]) -> UnreadableError:
    """Return what is wrong with a credit, by the names of its form."""
    return UnreadableError(
        " ".join(wrong.values()), {f"credit_{name}": said for name, said in wrong.items()}
    )


def _key(typed: dict[str, tuple[str, ...]]) -> str | None:
    """Return by what a form of money is known when it comes twice: how many lines it stood below.

    A form sent again, by a second tap or for want of an answer, stands below as many as before.
    """
    before = last(typed, "before")
    return f"form {before[:10]}" if before else None


def _written(database: Database, work: Callable[[Session], object], field: str) -> None:
    """Write something down; `field` is told where another one took its place meanwhile."""
    try:
        database.write(work)
    except KeyReusedError as error:
        raise UnreadableError(MEANWHILE, {field: MEANWHILE}) from error


def take_off(
    number: str, typed: dict[str, tuple[str, ...]], database: DatabaseOf, clock: ClockOf
) -> None:
    """Take a sum off the invoice, once.

    Raises:
        UnreadableError: naming what is wrong, by the form's own names.
    """
    told, key = read_credit(typed), _key(typed)

    def work(session: Session) -> None:
        try:
            write_credit_note(session, found(session, number), clock(), told, key)
        except UnreadableError as error:
            raise _of_credit(error.fields) from error

    _written(database, work, "credit_amount")


def read_payment(typed: dict[str, tuple[str, ...]]) -> PaymentIn:
    """Return the payment that is typed; a minus sign makes it one back to the buyer.

    Raises:
        UnreadableError: naming every field that is wrong.
    """
    tree, wrong = tree_of(typed, FIELDS)
    text = last(typed, "amount")
    sign = "-" if text.startswith(("-", "\u2212")) else ""
    try:
        tree["amount"] = sign + number_text(text.lstrip("-\u2212 "), Kind.NUMBER)
    except ValueError as error:
        wrong["amount"] = str(error)
        tree["amount"] = "0"
    body = read_body(PaymentIn, tree, wrong, FIELDS)
    return (
        body
        if body.amount != Decimal(0)
        else read_body(PaymentIn, tree, {"amount": "A payment is more than nothing."}, FIELDS)
    )


def write_down(
    number: str, typed: dict[str, tuple[str, ...]], database: DatabaseOf, clock: ClockOf
) -> None:
    """Write a payment down, once.

    Raises:
        UnreadableError: naming what is wrong, by the form's own names.
    """
    told, key = read_payment(typed), _key(typed)

    def work(session: Session) -> None:
        pay(session, found(session, number).first, told, clock(), key)

    _written(database, work, "amount")
