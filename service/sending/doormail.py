"""Mails to the shop's own address, of what was changed of how somebody comes in.

An account has no address; the shop has one, if its maker has written it down. The rows stand
in the transaction of the change, and the workers look for them at least each minute. They hold no
link to follow: whoever gets such a mail goes to Hoodwright as always.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from html import escape
from typing import Final

from sqlmodel import Session, col, select

from documents.figures import moment_text
from service.bodies import ShopIn
from service.db import Database
from service.doorwords import said
from service.errors import ServiceError
from service.given import DeliveryState
from service.models import Account, Delivery, DoorEvent
from service.orders import Clock
from service.sending.carriers import Carried, NotCarriedError, carry
from service.sending.deliver import again_at, longest, tried
from service.sending.drafts import sender_of
from service.sending.message import parcel_of
from service.sending.rows import is_due
from service.settings import MailSettings
from service.shop import shop_of

NEWS: Final = timedelta(days=2)
"""A change that no worker has looked at for so long is mailed no more: the pages tell of it."""
SUBJECT: Final = "Something was changed of how {name} comes in"
TEXT: Final = (
    "{said}",
    "That was on {at}, for the account “{name}”.",
    "Was it you? Then there is nothing to do.",
    "If not: sign in, choose a new password under your account, sign out everywhere, and take back\
 keys for programs that you do not know. If you can no longer come in, type hoodwright sign-in\
 on the computer where Hoodwright runs.",
)


@dataclass(frozen=True, slots=True)
class Claim:
    """All that one mail needs, read before: no transaction is open while it is sent."""

    event: DoorEvent
    name: str
    shop: ShopIn


def _claimed(session: Session, event_id: int, mail: MailSettings, now: datetime) -> Claim | None:
    query = select(DoorEvent).where(col(DoorEvent.id) == event_id, *is_due(DoorEvent, now))
    row = session.exec(query.with_for_update(skip_locked=True)).first()
    if row is None:
        return None
    shop, _ = shop_of(session)
    old = row.attempts == 0 and now - row.at > NEWS
    if not mail.host or not shop.email or old:
        row.state = ""
        return None
    row.attempts += 1
    row.claimed_until = now + longest(mail)
    session.flush()
    return Claim(row, session.get_one(Account, row.account_id).name, shop)


def _letter(held: Claim, mail: MailSettings) -> Delivery:
    """Return the mail as a letter, which belongs to no order and is not kept."""
    event, at = held.event, held.event.at
    told = {"said": said(event, held.name), "name": held.name, "at": moment_text(at)}
    lines = [line.format(**told) for line in TEXT]
    host = sender_of(mail, held.shop).rpartition("@")[2]
    return Delivery(
        order_id=0,
        kind="door",
        language="en",
        state=event.state,
        to_name=held.shop.name,
        to_address=held.shop.email,
        subject=SUBJECT.format(name=held.name),
        text="\n\n".join(lines) + "\n",
        html="".join(f"<p>{escape(line)}</p>" for line in lines),
        # The same for each attempt: a server that has it already must know it again.
        message_id=f"<door-{event.id}-{at:%Y%m%d%H%M%S%f}@{host}>",
        next_at=at,
        created_at=at,
    )


def _carried(held: Claim, mail: MailSettings, now: datetime) -> Carried:
    try:
        parcel = parcel_of(_letter(held, mail), (), held.shop, mail, "", now)
    except (ServiceError, ValueError) as error:
        raise NotCarriedError(str(error), again=False) from error
    return carry(mail, parcel, f"door-{held.event.id}.eml")


def _mark(database: Database, held: Claim, end: Carried | NotCarriedError, now: datetime) -> None:
    with database.writing() as session:
        row = session.get_one(DoorEvent, held.event.id, with_for_update=True)
        if row.attempts != held.event.attempts:
            return  # it took so long that its claim ran out, and another has it
        row.claimed_until, row.reason = None, ""
        if isinstance(end, Carried):
            row.state = DeliveryState.SENT.value
            return
        row.reason, moment = str(end), again_at(end, row.attempts, now)
        if moment is None:
            row.state = DeliveryState.FAILED.value
        else:
            row.next_at = moment


def _tell(database: Database, mail: MailSettings, event_id: int, clock: Clock) -> None:
    with database.writing() as session:
        held = _claimed(session, event_id, mail, clock())
    if held is None:
        return
    end = tried(f"door event {event_id}", lambda: _carried(held, mail, clock()))
    _mark(database, held, end, clock())


def tell_all(database: Database, mail: MailSettings, clock: Clock) -> None:
    """Mail of all changes that are due; where there is no server or address, of none ever.

    What fails is tried again after a pause, as other mails are, and then given up.
    """
    with database.reading() as session:
        query = select(col(DoorEvent.id)).where(*is_due(DoorEvent, clock()))
        waiting = [one for one in session.exec(query.order_by(col(DoorEvent.id))) if one]
    for event_id in waiting:
        _tell(database, mail, event_id, clock)
