"""Buyers: what is kept of each, taken out, and erased."""

from typing import Annotated, Final

from fastapi import Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from service.db import Database
from service.errors import NotAllowedError
from service.persons.buyers import buyers_like, person_of
from service.persons.forgetting import due, forget, forget_due
from service.shop import shop_of
from service.web.dependencies import HIGHEST_ID, ClockOf, DatabaseOf, IdOf, MailOf
from service.web.pages.render import page
from service.web.pages.typed import Typed, last
from service.web.parts import page_part
from service.web.problems import status_of

router = page_part("/buyers")
SEE_OTHER: Final = 303


@router.get("")
def buyers_page(
    database: DatabaseOf,
    clock: ClockOf,
    q: Annotated[str, Query(max_length=200)] = "",
    after: Annotated[int, Query(ge=0, le=HIGHEST_ID)] = 0,
    erased: str = "",
) -> HTMLResponse:
    """Show the buyers, and how many the shop's setting lets go."""
    with database.reading() as session:
        lines, more = buyers_like(session, q, after)
        years = shop_of(session)[0].forget_after
        old = len(due(session, clock()))
    return page(
        "buyers.html", lines=lines, more=more, q=q, years=years, old=old, erased=bool(erased)
    )


@router.post("/erase-old")
def erase_old(typed: Typed, database: DatabaseOf, clock: ClockOf, mail: MailOf) -> Response:
    """Erase the buyers that the shop's setting lets go."""
    del typed  # read for where it comes from
    forget_due(database, mail.folder, clock())
    return RedirectResponse("/buyers?erased=1", SEE_OTHER)


def _show(database: Database, buyer_id: int, status: int = 200, wrong: str = "") -> HTMLResponse:
    with database.reading() as session:
        person = person_of(session, buyer_id)
    return page("buyer.html", status, person=person, buyer=person.first, wrong=wrong)


@router.get("/{buyer_id}")
def buyer_page(buyer_id: IdOf, database: DatabaseOf) -> HTMLResponse:
    """Show what is kept of a buyer."""
    return _show(database, buyer_id)


@router.post("/{buyer_id}/erase")
def erase_buyer(
    buyer_id: IdOf, typed: Typed, database: DatabaseOf, clock: ClockOf, mail: MailOf
) -> Response:
    """Erase a buyer, once the box is ticked."""
    if last(typed, "sure") != "yes":
        return _show(database, buyer_id, 422, "Tick the box first: this cannot be undone.")
    try:
        forget(database, buyer_id, mail.folder, clock())
    except NotAllowedError as error:
        return _show(database, buyer_id, status_of(error), str(error))
    return RedirectResponse(f"/buyers/{buyer_id}", SEE_OTHER)
