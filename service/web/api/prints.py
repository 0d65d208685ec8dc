"""Many tickets printed as one PDF, meanwhile, on the wire."""

from typing import Annotated, Any, Final

from fastapi import Body, Path, Request, Response

from service.prints import PrintIn, PrintOut, begin_print, print_out, printed
from service.web.api.papers import AS_PDF, as_pdf
from service.web.dependencies import HIGHEST_ID, DatabaseOf, ErrandsOf
from service.web.parts import api_part
from service.web.problems import documented

router = api_part("papers", "/prints")
PRINTS: Final[dict[str, Any]] = {
    "the week's tickets": {"value": {"orders": ["2026-0001"], "paper": "A4"}}
}
PrintOf = Annotated[int, Path(ge=1, le=HIGHEST_ID)]


@router.post("", status_code=201, responses=documented(404, 409, 422))
def print_tickets(
    asked: Annotated[PrintIn, Body(openapi_examples=PRINTS)],
    request: Request,
    database: DatabaseOf,
    errands: ErrandsOf,
    response: Response,
) -> PrintOut:
    """Print the work tickets of orders as one PDF, in their order; many are drawn meanwhile."""
    place = str(request.base_url).rstrip("/")
    print_id = begin_print(database, errands, asked.orders, asked.paper, place)
    response.headers["Location"] = f"{router.prefix}/{print_id}"
    return print_out(database, errands, print_id)


@router.get("/{print_id}", responses=documented(404, 422))
def show_print(print_id: PrintOf, database: DatabaseOf, errands: ErrandsOf) -> PrintOut:
    """Show how far a print is."""
    return print_out(database, errands, print_id)


@router.get(
    "/{print_id}/tickets.pdf",
    response_class=Response,
    responses={**documented(404, 422), **AS_PDF},
)
def show_tickets(print_id: PrintOf, database: DatabaseOf) -> Response:
    """Return the tickets, once all are drawn; they are kept for a day."""
    return as_pdf(printed(database, print_id), "tickets")
