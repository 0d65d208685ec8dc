"""What a buyer was given: the states of a delivery, and whether the care sheet is among it."""

from collections.abc import Collection
from enum import StrEnum
from typing import Final

from sqlalchemy import bindparam
from sqlmodel import Session, col, select

from service.models import Delivery, DeliveryPaper, PaperCopy

CARE: Final = "care"
"""The kind of paper without which no order is closed: the cautions stand on it."""


class DeliveryState(StrEnum):
    """The states of a delivery.

    A mail written to a file is not sent: the maker has yet to send it, and says so.
    """

    WAITING = "waiting"
    WRITTEN = "written to a file"
    SENT = "sent"
    FAILED = "given up"
    HANDED_OVER = "handed over"


GIVEN: Final = (DeliveryState.SENT, DeliveryState.HANDED_OVER)
"""States in which the buyer has the papers, as far as one can know."""


def care_given(session: Session, order_ids: Collection[int | None]) -> frozenset[int]:
    """Return those of some orders whose care sheet their buyers have, in one query."""
    query = (
        select(Delivery.order_id)
        .join(DeliveryPaper, col(DeliveryPaper.delivery_id) == col(Delivery.id))
        .join(PaperCopy, col(PaperCopy.id) == col(DeliveryPaper.paper_id))
        .where(
            col(Delivery.order_id).in_(order_ids),
            col(Delivery.state).in_(GIVEN),
            col(PaperCopy.kind) == CARE,
        )
    )
    return frozenset(session.exec(query.distinct()))


# Built once: each page of an order asks it.
_LATEST: Final = (
    select(Delivery)
    .join(DeliveryPaper, col(DeliveryPaper.delivery_id) == col(Delivery.id))
    .join(PaperCopy, col(PaperCopy.id) == col(DeliveryPaper.paper_id))
    .where(
        col(Delivery.order_id) == bindparam("order"),
        col(Delivery.state).in_(GIVEN),
        col(PaperCopy.kind) == CARE,
    )
    .order_by(col(Delivery.id).desc())
    .limit(1)
)


def care_delivery(session: Session, order_id: int | None) -> Delivery | None:
    """Return the latest delivery that brought an order's care sheet to its buyer, or None."""
    return session.exec(_LATEST, params={"order": order_id}).first()
