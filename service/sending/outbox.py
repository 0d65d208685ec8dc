"""The outbox: deliveries written with their cause, and what the maker does with them.

Each use case takes a session, flushes, and never commits: the request is the transaction.
"""

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from service.errors import KeyReusedError, NotAllowedError
from service.given import GIVEN, DeliveryState
from service.models import Delivery, DeliveryPaper, PaperCopy
from service.orders import Found, found
from service.sending.drafts import Draft, Enclosed, drafted, enclosed, keep_paper
from service.sending.ring import ring
from service.sending.rows import delivery_of, record
from service.settings import MailSettings
from service.shop import shop_of


@dataclass(frozen=True, slots=True)
class Sending:
    """What to send: a kind of mail, in a language, to an address or the buyer's own."""

    kind: str
    language: str
    to: str = ""
    key: str | None = None


def _enclose(session: Session, delivery: Delivery, papers: Sequence[PaperCopy]) -> None:
    for place, paper in enumerate(papers):
        link = DeliveryPaper(delivery_id=delivery.id or 0, paper_id=paper.id or 0, place=place)
        session.add(link)
    session.flush()


def _message_id(sender: str) -> str:
    return f"<{secrets.token_hex(16)}@{sender.rpartition('@')[2]}>"


def _known(session: Session, order: Found, sending: Sending) -> Delivery | None:
    """Return the delivery that a key has made before, or None.

    Raises:
        KeyReusedError: if the key came with something else to send.
    """
    if sending.key is None:
        return None
    query = select(Delivery).where(col(Delivery.key) == f"{order.order.number} {sending.key}")
    row = session.exec(query).first()
    if row and (row.kind, row.language) != (sending.kind, sending.language):
        raise KeyReusedError("This key was used for another mail. Use a new key for a new mail.")
    return row


def _row(order: Found, draft: Draft, key: str | None, now: datetime) -> Delivery:
    return Delivery(
        order_id=order.order.id or 0,
        kind=draft.kind,
        language=draft.language,
        state=DeliveryState.WAITING.value,
        to_name=draft.to_name,
        to_address=draft.to_address,
        subject=draft.words.subject,
        text=draft.words.text,
        html=draft.words.html,
        mark=draft.mark,
        message_id=_message_id(draft.sender),
        key=f"{order.order.number} {key}" if key else None,
        next_at=now,
        created_at=now,
    )


def send(
    session: Session, number: str, sending: Sending, mail: MailSettings, now: datetime
) -> Delivery:
    """Put a mail into the outbox; with a key, the same twice is one mail.

    Raises:
        NotFoundError, NoPlanError, NotAllowedError, UnreadableError: as `drafted` does.
        KeyReusedError: if the key came with another mail.
    """
    order = found(session, number)
    if known := _known(session, order, sending):
        return known
    draft = drafted(session, number, sending.kind, mail, sending.language, sending.to)
    row = _row(order, draft, sending.key, now)
    session.add(row)
    session.flush()
    _enclose(session, row, [keep_paper(session, order, paper, now) for paper in draft.papers])
    record(session, row, now, f"to be sent to {row.to_address}.")
    ring(session, row)
    session.flush()
    return row


def hand_over(session: Session, number: str, kind: str, code: str, now: datetime) -> Delivery:
    """Write down that a paper, as it is now, was handed over or put into the parcel.

    Raises:
        NotFoundError: if there is no such order, paper or language.
        NoPlanError: if it needs a plan and there is none.
    """
    order, (shop, _) = found(session, number), shop_of(session)
    paper: Enclosed = enclosed(order, shop, kind, code)
    row = Delivery(
        order_id=order.order.id or 0,
        kind=kind,
        language=code,
        state=DeliveryState.HANDED_OVER.value,
        how="on paper",
        to_name=order.order.buyer_name,
        next_at=now,
        created_at=now,
        done_at=now,
    )
    session.add(row)
    session.flush()
    _enclose(session, row, [keep_paper(session, order, paper, now)])
    record(session, row, now, "handed over on paper.")
    session.flush()
    return row


def _is_mail(row: Delivery) -> None:
    if row.message_id is None:
        raise NotAllowedError("That was handed over on paper. To mail it too, write a new mail.")


def send_again(
    session: Session, number: str, delivery_id: int, mail: MailSettings, now: datetime
) -> Delivery:
    """Send a mail once more.

    One that was given up goes on under its Message-ID, since a server may have it already. For
    one that was sent a new one is made, or the buyer's mail program would hide it.

    Raises:
        NotFoundError: if the order has no such delivery.
        NotAllowedError: if it is no mail, or on its way.
    """
    row = delivery_of(session, number, delivery_id, lock=True)
    _is_mail(row)
    if row.state == DeliveryState.WAITING:
        raise NotAllowedError("This mail is on its way already. Wait for what becomes of it.")
    if row.state != DeliveryState.FAILED:
        return send(session, number, Sending(row.kind, row.language, row.to_address), mail, now)
    row.state, row.reason, row.how = DeliveryState.WAITING.value, "", ""
    row.attempts, row.next_at, row.claimed_until, row.done_at = 0, now, None, None
    record(session, row, now, f"to be sent to {row.to_address} once more.")
    ring(session, row)
    session.flush()
    return row


def by_hand(
    session: Session, number: str, delivery_id: int, state: DeliveryState, now: datetime
) -> Delivery:
    """Write down that the maker has sent a mail, or handed its papers over, by hand.

    Raises:
        NotFoundError: if the order has no such delivery.
        NotAllowedError: if a worker is sending it, or the buyer has it already.
    """
    row = delivery_of(session, number, delivery_id, lock=True)
    if row.state in GIVEN:
        raise NotAllowedError(f"This is down as “{row.state}” already.")
    if row.claimed_until and row.claimed_until > now:
        raise NotAllowedError("This mail is just being sent. Wait for what becomes of it.")
    handed = state is DeliveryState.HANDED_OVER
    row.state, row.done_at = state.value, now
    row.how = "on paper" if handed else "by hand"
    record(session, row, now, "handed over on paper." if handed else "sent by hand.")
    session.add(row)
    session.flush()
    return row
