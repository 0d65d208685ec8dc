"""The week's work tickets: which hoods, and one PDF of them all."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Annotated, Final

from fastapi import Query
from fastapi.responses import HTMLResponse

from service.capacitybodies import PromiseOut, QueueOut
from service.queue import queue, queue_out
from service.shop import shop_of
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.render import page
from service.web.parts import page_part

router = page_part()
WEEK: Final = timedelta(days=6)
MANY: Final = 10
"""More tickets than these are felt: thirty take 0.8 s of a processor."""


@dataclass(frozen=True, slots=True)
class TicketLine:
    """A hood to make: its day, and whether that is a due date or one that can be kept."""

    number: str
    dog: str
    day: date | None
    due: bool
    begun: bool


def _line(one: PromiseOut, *, known: bool) -> TicketLine:
    day = one.due or (one.safe if known else None)
    return TicketLine(one.number, one.dog, day, one.due is not None, one.begun)


def _within(found: QueueOut, first: date | None, last: date) -> list[TicketLine]:
    """Return the hoods whose day lies between two; without a first one, the late ones too."""
    lines = [_line(one, known=found.known) for one in found.queue]
    return [
        one for one in lines if one.day and one.day <= last and (not first or one.day >= first)
    ]


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


@router.get("/tickets")
def tickets_page(
    database: DatabaseOf,
    clock: ClockOf,
    first: Annotated[str, Query(alias="from", max_length=20)] = "",
    last: Annotated[str, Query(alias="to", max_length=20)] = "",
) -> HTMLResponse:
    """Show the hoods to make by a day, and let their tickets be printed as one."""
    today = clock().date()
    until = _day(last) or today + WEEK
    with database.reading() as session:
        shop, _ = shop_of(session)
        found = queue_out(queue(session), today)
    lines = _within(found, _day(first), until)
    return page(
        "tickets.html",
        lines=lines,
        others=len(found.queue) - len(lines),
        first=first if _day(first) else "",
        last=until.isoformat(),
        paper=shop.paper,
        many=len(lines) > MANY,
    )
