"""The link by which an owner may measure for one order: made, found again, taken back."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import bindparam
from sqlmodel import Session, col, select

from documents.language import languages
from service import links
from service.bodies import OrderIn
from service.errors import NotAllowedError, NotFoundError, UnreadableError
from service.experience import prior_of
from service.models import Order, OrderEvent, OwnerLink, OwnerNumbers
from service.orders import order_by_number
from service.shop import shop_of
from service.states import EDITABLE, State, check_editable
from sizing.doctor.learn import Prior

MEASURE: Final = "measure"
GOOD_FOR: Final = timedelta(days=14)
LONGEST: Final = 90
"""Days a link may be good for."""
MOST: Final = 20
"""Links of one order that are good at a time."""
WAITING: Final = "waiting"
TAKEN: Final = "taken over"
DECLINED: Final = "declined"


@dataclass(frozen=True, slots=True)
class Asked:
    """What a link opens: one dog to measure, and the numbers sent by it so far.

    Attributes:
        link: the link.
        order: what is known of the dog; nothing else of it is shown outside.
        shop: the name of the shop.
        prior: what finished hoods have taught of usual lengths.
        sent: what was sent by this link, or None.
        open: whether numbers can still be sent.
    """

    link: OwnerLink
    order: OrderIn
    shop: str
    prior: Prior
    sent: OwnerNumbers | None
    open: bool


def write_down(session: Session, order_id: int, now: datetime, what: str) -> None:
    """Write into an order's history that something came or went."""
    session.add(OrderEvent(order_id=order_id, at=now, kind=what, change={}))


def is_good(link: OwnerLink, now: datetime) -> bool:
    """Return whether a link opens its page."""
    return link.revoked_at is None and link.expires_at > now


def make_link(
    session: Session, number: str, language: str, now: datetime, days: int = GOOD_FOR.days
) -> tuple[OwnerLink, str]:
    """Make a link for an order; return it and its secret, which is nowhere kept.

    Args:
        session: of the request.
        number: of the order.
        language: of the page; empty for the one of the order's papers.
        now: this moment.
        days: how long the link is good.

    Raises:
        NotFoundError: if there is no such order.
        NotAllowedError: if its numbers cannot be changed any more, or it has too many links.
        UnreadableError: if there is no such language, or it should be good for too long.
    """
    order = order_by_number(session, number)
    check_editable(State(order.state))
    language = language or OrderIn.model_validate(order.asked).language
    if language not in languages():
        said = f"There is no such language. There are: {', '.join(languages())}."
        raise UnreadableError(said, {"language": said})
    if not 1 <= days <= LONGEST:
        said = f"A link is good for 1 to {LONGEST} days."
        raise UnreadableError(said, {"days": said})
    good = [one for one in links_of(session, order) if is_good(one, now)]
    if len(good) >= MOST:
        raise NotAllowedError("This order has many links already. Take one back first.")
    secret = links.new_secret()
    link = OwnerLink(
        order_id=order.id or 0,
        purpose=MEASURE,
        token_hash=links.digest(secret),
        language=language,
        made_at=now,
        expires_at=now + timedelta(days=days),
    )
    session.add(link)
    write_down(session, link.order_id, now, "a link to measure was made")
    session.flush()
    return link, secret


# Built once: each page of an order asks it.
_LINKS: Final = (
    select(OwnerLink)
    .where(col(OwnerLink.order_id) == bindparam("order"))
    .order_by(col(OwnerLink.id).desc())
)


def links_of(session: Session, order: Order) -> list[OwnerLink]:
    """Return an order's links, the newest first."""
    return list(session.exec(_LINKS, params={"order": order.id}))


def take_back(session: Session, number: str, link_id: int, now: datetime) -> OwnerLink:
    """Take a link back: it opens nothing from now on; a second time changes nothing.

    Raises:
        NotFoundError: if the order has no such link.
    """
    order = order_by_number(session, number)
    link = session.get(OwnerLink, link_id, with_for_update=True)
    if link is None or link.order_id != order.id:
        raise NotFoundError("The order has no such link.")
    if link.revoked_at is None:
        link.revoked_at = now
        session.add(link)
        write_down(session, link.order_id, now, "a link to measure was taken back")
        session.flush()
    return link


def sent_by(session: Session, link: OwnerLink) -> OwnerNumbers | None:
    """Return the numbers sent by a link, or None."""
    query = select(OwnerNumbers).where(col(OwnerNumbers.link_id) == link.id)
    return session.exec(query).first()


def asked_of(session: Session, secret: str, now: datetime, *, lock: bool = False) -> Asked:
    """Return what a link opens.

    Raises:
        NotFoundError: if it opens nothing, for whatever reason: all are told alike.
    """
    link = None
    if known := links.digest_of(secret):
        query = select(OwnerLink).where(col(OwnerLink.token_hash) == known)
        link = session.exec(query.with_for_update() if lock else query).first()
    if link is None or link.purpose != MEASURE or not is_good(link, now):
        raise NotFoundError("This link opens nothing, or no longer.")
    order = session.get_one(Order, link.order_id)
    sent = sent_by(session, link)
    settled = sent is not None and sent.state == TAKEN
    return Asked(
        link=link,
        order=OrderIn.model_validate(order.asked),
        shop=shop_of(session)[0].name,
        prior=prior_of(session),
        sent=sent,
        open=not settled and State(order.state) in EDITABLE,
    )
