"""A shop with a row in every table, each text of which is hostile to some reader."""

from datetime import datetime, timedelta
from decimal import Decimal

from sqlmodel import Session

from service.bills import write_credit_note, write_invoice
from service.bodies import OrderIn, OutcomeIn, PaymentIn, ShopIn
from service.db import Database
from service.models import (
    BenchEvent,
    CalendarLink,
    Confirmation,
    Enquiry,
    MailTemplate,
    Order,
    OrderDraft,
    OwnerNumbers,
    Together,
)
from service.orders import found, move_order, take_order
from service.outcomes import tell_outcome
from service.owner.asking import make_link
from service.payments import pay
from service.sending.outbox import Sending, hand_over, send
from service.settings import MailSettings
from service.shelf import add_swatch, put_yarn
from service.shelfbodies import ShelfSwatchIn, ShelfYarnIn
from service.shop import save_shop, shop_of
from sizing.fittings import Felt
from tests.service.api import SWATCH, YARN, order_body

MAIL = MailSettings(sender="wrack@hoods.example", address="https://hoods.example")


def _order(session: Session, now: datetime, mark: str) -> Order:
    buyer = {
        "name": f"=cmd|' /C calc'!A0 {mark}name",
        "email": f"{mark}mail@wrack.example",
        "phone": f"+49 {mark}phone",
        "address": f"@3 {mark}address\n-2 Weir",
    }
    dog = {"name": f"'-{mark}dog", "breed": f"{mark}breed", "weight": "11 kg"}
    asked = OrderIn.model_validate(
        order_body(buyer=buyer, dog=dog, notes=f'"{{{{ 7*7 }}}}"\n=1;=2 {mark}notes')
    )
    return take_order(session, asked, now, f"{mark}key")


def _sold(session: Session, order: Order, now: datetime, mark: str) -> None:
    """Let an order go all the way, with all that hangs on one."""
    number = order.number
    link, _ = make_link(session, number, "en", now)
    told = {"taken": {}, "weight": "", "note": f"{mark}ownernote"}
    session.add(
        OwnerNumbers(
            link_id=link.id or 0, order_id=link.order_id, told=told, state="waiting", version=1,
            sent_at=now,
        )
    )  # fmt: skip
    asked = {"name": f"{mark}asker", "email": f"{mark}askmail", "wish": f"{mark}wish"}
    session.add(Enquiry(key=f"{mark}formkey", told=asked, order_id=order.id, at=now))
    move_order(session, number, "accepted", order.version, now, f"{mark}movenote")
    move_order(session, number, "making", order.version, now)
    session.add(
        BenchEvent(
            order_id=order.id or 0, uid="12345678", kind="done", plan="", details={}, at=now,
            kept_at=now,
        )
    )  # fmt: skip
    move_order(session, number, "finished", order.version, now)
    pay(session, order, PaymentIn(amount=Decimal("20.00"), note="=1+1"), now)
    pay(session, order, PaymentIn(amount=Decimal("-12.50"), note=f"{mark}paynote"), now)
    tell_outcome(
        session,
        number,
        OutcomeIn(grams=90, collar=Felt.GOOD, note=f"{mark}fit", sure=True),
        order.version,
        now,
    )
    write_invoice(session, found(session, number), now)
    write_credit_note(session, found(session, number), now)
    write_invoice(session, found(session, number), now)
    mail = send(session, number, Sending("care", "en", key=f"{mark}sendkey"), MAIL, now)
    session.add(
        Confirmation(
            delivery_id=mail.id or 0, token_hash=f"{mark}token", purpose="care", created_at=now,
            expires_at=now + timedelta(days=90),
        )
    )  # fmt: skip
    hand_over(session, number, "care", "en", now)


def fill(database: Database, now: datetime, mark: str = "x") -> str:
    """Fill an empty database; return the number of the order that has everything."""
    with database.writing() as session:
        _, version = shop_of(session)
        shop = ShopIn.model_validate({"name": "+Wrack", "email": "a@hoods.example"})
        save_shop(session, shop, version)
        yarn = put_yarn(session, ShelfYarnIn.model_validate(YARN))
        swatch = ShelfSwatchIn.model_validate({"name": "-5 mm", **SWATCH})
        add_swatch(session, yarn.row.id or 0, swatch, yarn.row.version)
        order = _order(session, now, mark)
        _sold(session, order, now, mark)
        second = take_order(session, OrderIn.model_validate(order_body()), now)
        third = take_order(session, OrderIn.model_validate(order_body()), now)
        session.add(Together(order_id=third.id or 0, first_id=second.id or 0))
        typed = {"buyer.email": [f"{mark}mail@wrack.example"], "notes": [f"{mark}draft"]}
        session.add(OrderDraft(key=f"{mark}draftkey", typed=typed, version=1, at=now))
        session.add(CalendarLink(token_hash="0" * 64, created_at=now))
        session.add(
            MailTemplate(
                kind="care", language="en", subject="=s", text="", html="<b>", version=1,
                changed_at=now,
            )
        )  # fmt: skip
        return order.number
