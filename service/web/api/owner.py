"""The maker's side of measuring by the owner: links, and the numbers that came by them."""

from typing import Annotated, Final

from fastapi import Body, Path, Query, Request, Response

from service.bodies import OrderIn
from service.orderout import OrderOut
from service.orders import order_by_number
from service.owner.asking import links_of, make_link, take_back
from service.owner.bodies import LinkIn, LinkOut, NumbersOut, link_out, numbers_out
from service.owner.numbers import decline, numbers_of, take_over
from service.web.api.whole import whole
from service.web.dependencies import (
    HIGHEST_ID,
    ClockOf,
    DatabaseOf,
    IfMatch,
    address_outside,
)
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("owner", "/orders/{number}")
LINKS: Final = {
    "for fourteen days": {"value": {"language": "en"}},
    "in German": {"value": {"language": "de", "days": 30}},
}
Id = Annotated[int, Path(ge=1, le=HIGHEST_ID)]
Seen = Annotated[int, Query(ge=1, le=HIGHEST_ID, description="the version of the numbers seen")]


@router.post("/owner-links", status_code=201, responses=documented(404, 409, 422))
def make_a_link(
    number: str,
    asked: Annotated[LinkIn, Body(openapi_examples=LINKS)],
    request: Request,
    database: DatabaseOf,
    clock: ClockOf,
) -> LinkOut:
    """Make a link for the owner to measure by. Its address is told here and never again."""
    now = clock()
    with database.writing() as session:
        link, secret = make_link(session, number, asked.language, now, asked.days)
    return link_out(link, now, f"{address_outside(request)}/measure/{secret}")


@router.get("/owner-links", responses=documented(404, 422))
def list_links(number: str, database: DatabaseOf, clock: ClockOf) -> list[LinkOut]:
    """List an order's links, the newest first, those that are no longer good too."""
    with database.reading() as session:
        rows = links_of(session, order_by_number(session, number))
    return [link_out(row, clock()) for row in rows]


@router.delete("/owner-links/{link}", responses=documented(404, 422))
def take_a_link_back(number: str, link: Id, database: DatabaseOf, clock: ClockOf) -> LinkOut:
    """Take a link back: from now on it opens nothing."""
    now = clock()
    with database.writing() as session:
        return link_out(take_back(session, number, link, now), now)


@router.get("/owner-numbers", responses=documented(404, 422))
def list_numbers(number: str, database: DatabaseOf) -> list[NumbersOut]:
    """List what owners measured for an order, the newest first."""
    with database.reading() as session:
        order = order_by_number(session, number)
        rows = numbers_of(session, order)
    asked = OrderIn.model_validate(order.asked)
    return [numbers_out(row, asked) for row in rows]


@router.post("/owner-numbers/{numbers}/take-over", responses=documented(404, 409, 412, 422, 428))
def take_numbers_over(
    number: str,
    numbers: Id,
    seen: Seen,
    database: DatabaseOf,
    clock: ClockOf,
    version: IfMatch,
    response: Response,
) -> OrderOut:
    """Make the owner's numbers the order's own, and plan it anew."""
    with database.writing() as session:
        take_over(session, number, numbers, seen, version, clock())
        return whole(session, number, response)


@router.post("/owner-numbers/{numbers}/decline", responses=documented(404, 409, 412, 422))
def decline_numbers(
    number: str, numbers: Id, seen: Seen, database: DatabaseOf, clock: ClockOf
) -> list[NumbersOut]:
    """Leave the order as it is; the owner may measure once more."""
    with database.writing() as session:
        decline(session, number, numbers, seen, clock())
    return list_numbers(number, database)
