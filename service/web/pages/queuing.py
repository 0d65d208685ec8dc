"""The queue of hoods to make, with the dates that can be kept."""

from fastapi.responses import HTMLResponse

from service.parcels import parcels
from service.queue import queue, queue_out
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.render import page
from service.web.parts import page_part

router = page_part("/queue")


@router.get("")
def queue_page(database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Show the hoods to make, in the order they are worked on."""
    today = clock().date()
    with database.reading() as session:
        known = queue(session)
    return page("queue.html", found=queue_out(known, today), parcels=parcels(known))
