"""Sending one delivery: claim it, carry it, mark it. All workers call this one function.

Between carrying and marking lies the only moment in which a crash can repeat a mail: its
claim runs out, and the next worker sends it once more under the same Message-ID.
"""

import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from sqlmodel import Session

from service.bodies import ShopIn
from service.db import Database
from service.errors import ServiceError
from service.faultlog import tell_unexpected
from service.given import DeliveryState
from service.models import Delivery, PaperCopy
from service.orders import Clock
from service.sending.carriers import PATIENCE, Carried, NotCarriedError, carry
from service.sending.confirming import new_secret
from service.sending.message import parcel_of
from service.sending.ring import ring
from service.sending.rows import claimed, papers_of, record
from service.settings import MailSettings
from service.shop import shop_of

PAUSES: Final = (
    timedelta(minutes=1),
    timedelta(minutes=5),
    timedelta(minutes=20),
    timedelta(hours=1),
    timedelta(hours=4),
    timedelta(hours=12),
    timedelta(hours=24),
)
"""How long to wait after each failed attempt; after one more it is given up."""
MOST_ATTEMPTS: Final = len(PAUSES) + 1
SPARE: Final = timedelta(minutes=1)
"""How much longer a claim lasts than the mail server may take."""
log = logging.getLogger("hoodwright")


@dataclass(frozen=True, slots=True)
class Claim:
    """All that sending needs, read before: no transaction is open while it lasts."""

    delivery: Delivery
    papers: Sequence[PaperCopy]
    shop: ShopIn
    secret: str


def longest(mail: MailSettings) -> timedelta:
    """Return how long a claim lasts: no mail takes as long to be sent."""
    # Twice: the connection and the security have each a patience of their own.
    return timedelta(seconds=mail.timeout * (PATIENCE * 2 + 1)) + SPARE


def _give_up(session: Session, row: Delivery, reason: str, now: datetime) -> None:
    row.state, row.reason, row.done_at = DeliveryState.FAILED.value, reason, now
    row.claimed_until = None
    session.add(row)
    record(session, row, now, f"could not be sent to {row.to_address}. {reason}")


def claim(session: Session, delivery_id: int, mail: MailSettings, now: datetime) -> Claim | None:
    """Return a delivery claimed, with all that sending it needs, or None if it is not due."""
    row = claimed(session, delivery_id, now, now + longest(mail))
    if row is None:
        return None
    if row.attempts > MOST_ATTEMPTS:
        _give_up(session, row, "Sending broke off each time.", now)
        return None
    secret = new_secret(session, row, now) if row.mark else ""
    return Claim(row, papers_of(session, row), shop_of(session)[0], secret)


def _carried(held: Claim, mail: MailSettings, now: datetime) -> Carried:
    delivery = held.delivery
    try:
        parcel = parcel_of(delivery, held.papers, held.shop, mail, held.secret, now)
    except (ServiceError, ValueError) as error:
        raise NotCarriedError(str(error), again=False) from error
    stamp = f"{delivery.created_at:%Y-%m-%d-%H%M%S}"
    return carry(mail, parcel, f"{stamp}-{delivery.kind}-{delivery.id}.eml")


def _mark_carried(session: Session, row: Delivery, carried: Carried, now: datetime) -> None:
    row.state, row.how, row.reason, row.done_at = carried.state.value, carried.how, "", now
    written = carried.state is DeliveryState.WRITTEN
    said = f"written {carried.how}; not sent yet." if written else f"sent to {row.to_address}."
    record(session, row, now, said)


def again_at(error: NotCarriedError, attempts: int, now: datetime) -> datetime | None:
    """Return when to try again after so many attempts, or None where it is given up."""
    if not error.again or attempts >= MOST_ATTEMPTS:
        return None
    return now + PAUSES[attempts - 1]


def _mark_failed(session: Session, row: Delivery, error: NotCarriedError, now: datetime) -> None:
    moment = again_at(error, row.attempts, now)
    if moment is None:
        _give_up(session, row, str(error), now)
        return
    row.reason, row.next_at = str(error), moment
    ring(session, row)


def _mark(
    database: Database, held: Claim, end: Carried | NotCarriedError, now: datetime
) -> DeliveryState:
    with database.writing() as session:
        row = session.get_one(Delivery, held.delivery.id, with_for_update=True)
        state = DeliveryState(row.state)
        if state is not DeliveryState.WAITING or row.attempts != held.delivery.attempts:
            return state  # it took so long that its claim ran out, and another has it
        row.claimed_until = None
        if isinstance(end, Carried):
            _mark_carried(session, row, end, now)
        else:
            _mark_failed(session, row, end, now)
        session.add(row)
        session.flush()
        return DeliveryState(row.state)


def tried(what: str, send: Callable[[], Carried]) -> Carried | NotCarriedError:
    """Return how sending a mail ended.

    The log says no more than that it failed: a mail server's answer names whom it was for.

    Args:
        what: the mail, as the log calls it.
        send: what carries it off.
    """
    try:
        return send()
    except NotCarriedError as error:
        log.warning("%s was not carried: %s", what, "later" if error.again else "given up")
        return error
    except Exception as error:  # noqa: BLE001 - a fault of ours must not claim the mail for ever
        tell_unexpected(what, error)
        return NotCarriedError(f"Something went wrong on our side: {error!r}", again=True)


def deliver(
    database: Database, mail: MailSettings, delivery_id: int, clock: Clock
) -> DeliveryState | None:
    """Send a delivery that is due; return its state after, or None if it is not due.

    What fails is kept with its reason and tried again after a pause, or given up.
    """
    with database.writing() as session:
        held = claim(session, delivery_id, mail, clock())
    if held is None:
        return None
    end = tried(f"delivery {delivery_id}", lambda: _carried(held, mail, clock()))
    return _mark(database, held, end, clock())
