"""The calendar: its page in the shop, the file to take away, and the address to subscribe by."""

from hashlib import sha256
from typing import Final

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from service.calendar.addresses import MOST, addresses, make_address, opens, take_address_back
from service.calendar.entries import entries
from service.shop import shop_of
from service.web.dependencies import ClockOf, DatabaseOf, address_outside, is_near, whole_number
from service.web.pages.ownerdoor import HEADERS, admit, missed
from service.web.pages.render import page
from service.web.pages.typed import Typed, last
from service.web.parts import page_part

router = page_part()
SEE_OTHER: Final = 303
MEDIA: Final = "text/calendar; charset=utf-8"
_GONE: Final = "This calendar address opens nothing, or no longer.\n"


def _file(request: Request, database: DatabaseOf, clock: ClockOf, *, hook: bool) -> bytes:
    from service.calendar.writing import calendar  # noqa: PLC0415 - it takes a while to load

    with database.reading() as session:
        name = shop_of(session)[0].name
        found = entries(session, address_outside(request), clock().date(), hook=hook)
    return calendar(name or "Hoods", found)


@router.get("/queue/calendar")
def calendar_page(database: DatabaseOf) -> HTMLResponse:
    """Show how the dates come into the maker's own calendar."""
    with database.reading() as session:
        rows = addresses(session)
    return page("calendar.html", links=rows, full=len(rows) >= MOST)


@router.get("/queue/calendar.ics")
def download(
    request: Request, database: DatabaseOf, clock: ClockOf, *, hook: bool = False
) -> Response:
    """Give the calendar as a file, as it is now."""
    content = _file(request, database, clock, hook=hook)
    kept = {"Content-Disposition": 'attachment; filename="hoods.ics"', "Cache-Control": "no-store"}
    return Response(content, media_type=MEDIA, headers=kept)


@router.post("/queue/calendar")
def make(typed: Typed, request: Request, database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Make an address and show it, this once: its secret is kept nowhere."""
    with database.writing() as session:
        _, secret = make_address(session, clock())
    ending = "?hook=true" if last(typed, "hook") else ""
    address = f"{address_outside(request)}/calendar/{secret}.ics{ending}"
    answer = page("calendar_address.html", address=address, near=is_near(address))
    answer.headers["Cache-Control"] = "no-store"
    return answer


@router.post("/queue/calendar/takeback")
def take_back(typed: Typed, database: DatabaseOf) -> Response:
    """Take an address back."""
    with database.writing() as session:
        take_address_back(session, whole_number(last(typed, "link")))
    return RedirectResponse("/queue/calendar", SEE_OTHER)


@router.api_route("/calendar/{secret}.ics", methods=["GET", "HEAD"])
def subscribed(
    secret: str, request: Request, database: DatabaseOf, clock: ClockOf, *, hook: bool = False
) -> Response:
    """Give the calendar to whoever has an address of it."""
    now = clock()
    admit(request, now, secret)
    with database.reading() as session:
        good = opens(session, secret)
    if not good:
        missed(request, now)
        return Response(_GONE, 404, HEADERS, "text/plain")
    content = _file(request, database, clock, hook=hook)
    tag = f'"{sha256(content).hexdigest()[:32]}"'
    headers = HEADERS | {"Cache-Control": "private, no-cache", "ETag": tag}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    return Response(content, headers=headers, media_type=MEDIA)
