"""Several hoods of one buyer on the wire: what is offered, billed and sent as one."""

from typing import Annotated

from fastapi import Body, Response

from service.bodies import MoveIn
from service.orderout import OrderOut
from service.together import join, move_all, part
from service.web.api.examples import MOVES
from service.web.api.whole import whole
from service.web.dependencies import ClockOf, DatabaseOf, IfMatch
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("orders", "/orders")


@router.put("/{number}/together/{other}", responses=documented(404, 409, 422))
def put_together(
    number: str,
    other: str,
    database: DatabaseOf,
    clock: ClockOf,
    response: Response,
) -> OrderOut:
    """Put an order together with another one of its buyer: one quote, invoice and parcel."""
    with database.writing() as session:
        join(session, number, other, clock())
        return whole(session, number, response)


@router.delete("/{number}/together", responses=documented(404, 409, 422))
def take_apart(number: str, database: DatabaseOf, clock: ClockOf, response: Response) -> OrderOut:
    """Take an order away from those that it goes together with."""
    with database.writing() as session:
        part(session, number, clock())
        return whole(session, number, response)


@router.post("/{number}/together/state", responses=documented(404, 409, 412, 422, 428))
def move_together(
    number: str,
    move: Annotated[MoveIn, Body(openapi_examples=MOVES)],
    database: DatabaseOf,
    clock: ClockOf,
    version: IfMatch,
    response: Response,
) -> OrderOut:
    """Move an order to another state, and with it those beside it that stand where it stands."""
    with database.writing() as session:
        move_all(session, number, move.to, version, clock(), move.note)
        return whole(session, number, response)
