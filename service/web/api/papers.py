"""The papers of an order, as PDFs."""

from typing import Annotated, Any, Final

from fastapi import APIRouter, Query, Request, Response

from documents.page import Paper
from service.orders import found
from service.paperwork import care_sheet, work_ticket
from service.shop import shop_of
from service.web.dependencies import DatabaseOf
from service.web.problems import documented

router = APIRouter(prefix="/orders", tags=["papers"])
PDF = "application/pdf"
SIZE = Query(description="the paper; the shop's own where it is left out")
AS_PDF: Final[dict[int | str, dict[str, Any]]] = {
    200: {"content": {PDF: {"schema": {"type": "string", "format": "binary"}}}}
}
Size = Annotated[Paper | None, SIZE]


def _pdf(content: bytes, name: str) -> Response:
    headers = {"Content-Disposition": f'inline; filename="{name}.pdf"'}
    return Response(content, media_type=PDF, headers=headers)


@router.get(
    "/{number}/work-ticket.pdf",
    response_class=Response,
    responses={**documented(404, 409, 422), **AS_PDF},
)
def print_ticket(
    number: str, request: Request, database: DatabaseOf, paper: Size = None
) -> Response:
    """Print the work ticket."""
    link = f"{str(request.base_url).rstrip('/')}/orders/{number}"
    with database.reading() as session:
        order, (shop, _) = found(session, number), shop_of(session)
    content = work_ticket(order, shop, paper or Paper(shop.paper), link)
    return _pdf(content, f"ticket-{order.order.number}")


@router.get(
    "/{number}/care-sheet.pdf",
    response_class=Response,
    responses={**documented(404, 409, 422), **AS_PDF},
)
def print_care_sheet(number: str, database: DatabaseOf, paper: Size = None) -> Response:
    """Print the buyer's care and supervision sheet."""
    with database.reading() as session:
        order, (shop, _) = found(session, number), shop_of(session)
    content = care_sheet(order, shop, paper or Paper(shop.paper))
    return _pdf(content, f"care-{order.order.number}")
