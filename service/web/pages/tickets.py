"""The week's work tickets: which hoods, and one PDF of them all."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Annotated, Final

from fastapi import Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from service.capacitybodies import PromiseOut, QueueOut
from service.db import Database
from service.errors import NoPlanError, NotFoundError, UnreadableError
from service.prints import MOST, begin_print, print_out
from service.queue import queue, queue_out
from service.web.dependencies import ClockOf, DatabaseOf, ErrandsOf, IdOf
from service.web.pages.render import page
from service.web.pages.typed import Typed, last
from service.web.parts import page_part
from service.web.problems import status_of

router = page_part()
WEEK: Final = timedelta(days=6)
SEE_OTHER: Final = 303
_HOW_MANY: Final = f"Tick the hoods to print: one at least, and {MOST} at most in one print."
AGAIN: Final = "2"
"""Seconds after which the page of a print that goes on looks anew."""


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


def _show(
    database: Database, now: datetime, first: str, last: str, wrong: str = "", status: int = 200
) -> HTMLResponse:
    today = now.date()
    until = _day(last) or today + WEEK
    with database.reading() as session:
        found = queue_out(queue(session), today)
    lines = _within(found, _day(first), until)
    return page(
        "tickets.html",
        status,
        lines=lines,
        others=len(found.queue) - len(lines),
        first=first if _day(first) else "",
        last=until.isoformat(),
        wrong=wrong,
    )


@router.get("/tickets")
def tickets_page(
    database: DatabaseOf,
    clock: ClockOf,
    first: Annotated[str, Query(alias="from", max_length=20)] = "",
    last: Annotated[str, Query(alias="to", max_length=20)] = "",
) -> HTMLResponse:
    """Show the hoods to make by a day, and let their tickets be printed as one."""
    return _show(database, clock(), first, last)


@router.post("/tickets")
def print_tickets(
    request: Request, typed: Typed, database: DatabaseOf, clock: ClockOf, errands: ErrandsOf
) -> Response:
    """Print the tickets of the ticked hoods; where they take longer, show how far that is."""
    numbers = [one[:40] for one in typed.get("order", [])]
    first, until = last(typed, "from"), last(typed, "to")
    place = str(request.base_url).rstrip("/")
    try:
        if not 1 <= len(numbers) <= MOST:
            raise UnreadableError(_HOW_MANY)  # noqa: TRY301 - one way out for all that is wrong
        print_id = begin_print(database, errands, numbers, None, place)
    except (UnreadableError, NotFoundError, NoPlanError) as error:
        return _show(database, clock(), first, until, str(error), status_of(error))
    over = print_out(database, errands, print_id).over
    where = f"/api/v1/prints/{print_id}/tickets.pdf" if over else f"/tickets/prints/{print_id}"
    return RedirectResponse(where, SEE_OTHER)


@router.get("/tickets/prints/{print_id}")
def print_page(print_id: IdOf, database: DatabaseOf, errands: ErrandsOf) -> HTMLResponse:
    """Show how far a print is, and the tickets once they are drawn."""
    known = print_out(database, errands, print_id)
    answer = page("print.html", print=known)
    if not known.over:
        answer.headers["Refresh"] = AGAIN
    return answer
