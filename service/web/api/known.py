"""Dogs and buyers that are known, and what another hood begins with, on the wire."""

from datetime import datetime
from typing import Annotated

from fastapi import Query

from service.again import Known, Reminder, again, known_dogs
from service.bodies import OrderIn
from service.planbodies import Out
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("orders")


class AgainOut(Out):
    """What another hood begins with: an order to send after a look at it.

    `reminder` says why to measure the dog again: it was growing, or the lengths are old.
    """

    asked: OrderIn
    measured: datetime
    reminder: Reminder


@router.get("/dogs", responses=documented(422))
def find_dogs(
    database: DatabaseOf,
    q: Annotated[str, Query(max_length=200, description="words of buyer, dog or breed")],
) -> list[Known]:
    """Find dogs that have had an order, those of the newest orders first."""
    with database.reading() as session:
        return known_dogs(session, q)


@router.get("/orders/{number}/again", responses=documented(404, 422))
def begin_another(number: str, database: DatabaseOf, clock: ClockOf) -> AgainOut:
    """Give what another hood for the dog of an order begins with; nothing is kept yet."""
    with database.reading() as session:
        told = again(session, number, clock())
    return AgainOut(asked=told.asked, measured=told.measured, reminder=told.reminder)
