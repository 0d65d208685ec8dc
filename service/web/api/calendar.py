"""The calendar on the wire: the file itself, and the addresses to subscribe to it by."""

from datetime import datetime
from typing import Any, Final

from fastapi import Request, Response

from service.calendar.addresses import addresses, make_address, take_address_back
from service.calendar.entries import entries
from service.planbodies import Out
from service.shop import shop_of
from service.web.dependencies import ClockOf, DatabaseOf, IdOf, address_outside
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("calendar", "/calendar")
FILE: Final[dict[int | str, dict[str, Any]]] = {
    200: {
        "description": "The calendar, RFC 5545",
        "content": {"text/calendar": {"schema": {"type": "string"}}},
    }
}


class AddressOut(Out):
    """An address to subscribe by; it is told once, when it is made, and empty afterwards."""

    id: int
    made_at: datetime
    address: str = ""


@router.get("", response_class=Response, responses=FILE | documented(422))
def show_calendar(
    request: Request, database: DatabaseOf, clock: ClockOf, *, hook: bool = False
) -> Response:
    """Give the calendar: due dates, and with `hook` the days that each hood is worked on."""
    from service.calendar.writing import MEDIA, calendar  # noqa: PLC0415 - it takes a while to load

    with database.reading() as session:
        name = shop_of(session)[0].name
        found = entries(session, address_outside(request), clock().date(), hook=hook)
    return Response(calendar(name or "Hoods", found), media_type=MEDIA)


@router.post("/addresses", status_code=201, responses=documented(409))
def make_an_address(request: Request, database: DatabaseOf, clock: ClockOf) -> AddressOut:
    """Make an address to subscribe by. It is told here and never again."""
    with database.writing() as session:
        link, secret = make_address(session, clock())
    told = f"{address_outside(request)}/calendar/{secret}.ics"
    return AddressOut(id=link.id or 0, made_at=link.created_at, address=told)


@router.get("/addresses")
def list_addresses(database: DatabaseOf) -> list[AddressOut]:
    """List the addresses that are good, the newest first."""
    with database.reading() as session:
        rows = addresses(session)
    return [AddressOut(id=row.id or 0, made_at=row.created_at) for row in rows]


@router.delete("/addresses/{address}", status_code=204, responses=documented(404, 422))
def take_an_address_back(address: IdOf, database: DatabaseOf) -> None:
    """Take an address back: from now on it opens nothing."""
    with database.writing() as session:
        take_address_back(session, address)
