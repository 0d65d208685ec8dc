"""The papers as PDFs."""

from collections.abc import Callable
from typing import Annotated, Any, Final, Literal

from fastapi import Path, Query, Request, Response

from documents import label_sheet, measuring_guide, size_sheet
from documents.care_sheet import Edition
from documents.page import Paper
from service import paperwork
from service.bodies import ShopIn
from service.db import Database
from service.errands import Errands, Lane
from service.errors import UnreadableError
from service.fields import LanguageCode
from service.orders import Found, found
from service.planning import yarn_of
from service.shelf import yarn_on_shelf
from service.shop import shop_of
from service.web.dependencies import HIGHEST_ID, ClockOf, DatabaseOf, ErrandsOf
from service.web.parts import api_part
from service.web.problems import documented
from service.web.visitor import is_maker
from sizing.stock import stock_of

router = api_part("papers")
PDF = "application/pdf"
AS_PDF: Final[dict[int | str, dict[str, Any]]] = {
    200: {"content": {PDF: {"schema": {"type": "string", "format": "binary"}}}}
}
Size = Annotated[Paper | None, Query(description="the paper; the shop's own where it is left out")]
Said = Annotated[
    LanguageCode | None, Query(description="the language; the buyer's where it is left out")
]
OF_ORDER: Final[dict[int | str, dict[str, Any]]] = {**documented(404, 409, 422), **AS_PDF}
Draw = Callable[[Found, ShopIn, Paper], bytes]
LARGE: Final = 10_000
"""Stitches of a hood whose ticket takes some 40 ms of a processor; a usual one has a thousand."""
MOST_LABELS: Final = 200
"""Labels of one print, on 25 sheets."""


def as_pdf(content: bytes, name: str) -> Response:
    """Return a PDF to be shown, with the name of a file to keep it in."""
    headers = {"Content-Disposition": f'inline; filename="{name}.pdf"'}
    return Response(content, media_type=PDF, headers=headers)


def _read(database: Database, number: str, paper: Paper | None) -> tuple[Found, ShopIn, Paper]:
    with database.reading() as session:
        order, (shop, _) = found(session, number), shop_of(session)
    return order, shop, paper or Paper(shop.paper)


def _drawn(
    database: Database, number: str, paper: Paper | None, name: str, draw: Draw
) -> Response:
    order, shop, size = _read(database, number, paper)
    return as_pdf(draw(order, shop, size), f"{name}-{order.order.number}")


def _is_large(order: Found) -> bool:
    """Return whether an order's hood has so many stitches that its rows take long to draw."""
    made = order.plan.made.made if order.plan else ()
    return sum(count for _, count in made) > LARGE


def _drawn_by_stitch(
    database: Database,
    errands: Errands,
    number: str,
    paper: Paper | None,
    name: str,
    draw: Draw,
) -> Response:
    """Return a paper with every stitch on it; that of a large hood is drawn in its turn."""
    order, shop, size = _read(database, number, paper)
    if _is_large(order):
        content = errands.alone(Lane.PAPERS, lambda: draw(order, shop, size))
    else:
        content = draw(order, shop, size)
    return as_pdf(content, f"{name}-{order.order.number}")


@router.get("/orders/{number}/work-ticket.pdf", response_class=Response, responses=OF_ORDER)
def print_ticket(
    number: str,
    request: Request,
    database: DatabaseOf,
    errands: ErrandsOf,
    paper: Size = None,
) -> Response:
    """Print the work ticket."""
    link = f"{str(request.base_url).rstrip('/')}/orders/{number}"
    maker = is_maker()

    def draw(order: Found, shop: ShopIn, size: Paper) -> bytes:
        return paperwork.work_ticket(order, shop, size, link, buyer=maker)

    return _drawn_by_stitch(database, errands, number, paper, "ticket", draw)


@router.get("/orders/{number}/stitch-chart.pdf", response_class=Response, responses=OF_ORDER)
def print_chart(
    number: str, database: DatabaseOf, errands: ErrandsOf, paper: Size = None
) -> Response:
    """Print the stitch chart."""
    draw = paperwork.stitch_chart
    return _drawn_by_stitch(database, errands, number, paper, "chart", draw)


@router.get("/orders/{number}/care-sheet.pdf", response_class=Response, responses=OF_ORDER)
def print_care_sheet(
    number: str,
    database: DatabaseOf,
    paper: Size = None,
    language: Said = None,
    edition: Literal["usual", "large"] = "usual",
) -> Response:
    """Print the buyer's care and supervision sheet, in large print where it is asked for."""

    def draw(order: Found, shop: ShopIn, size: Paper) -> bytes:
        return paperwork.care_paper(order, shop, size, language or "", Edition[edition.upper()])

    return _drawn(database, number, paper, "care", draw)


@router.get("/orders/{number}/quote.pdf", response_class=Response, responses=OF_ORDER)
def print_quote(
    number: str, database: DatabaseOf, paper: Size = None, language: Said = None
) -> Response:
    """Print the quote."""
    return _drawn(
        database, number, paper, "quote", lambda o, s, p: paperwork.quote(o, s, p, language or "")
    )


@router.get("/orders/{number}/measuring-guide.pdf", response_class=Response, responses=OF_ORDER)
def print_guide(
    number: str, database: DatabaseOf, paper: Size = None, language: Said = None
) -> Response:
    """Print the measuring guide for this dog."""
    return _drawn(
        database,
        number,
        paper,
        "measure",
        lambda o, s, p: paperwork.guide(o, s, p, language or ""),
    )


@router.get("/orders/{number}/parcel-slip.pdf", response_class=Response, responses=OF_ORDER)
def print_slip(
    number: str, database: DatabaseOf, paper: Size = None, language: Said = None
) -> Response:
    """Print the parcel slip."""
    return _drawn(
        database, number, paper, "parcel", lambda o, s, p: paperwork.slip(o, s, p, language or "")
    )


@router.get(
    "/papers/measuring-guide.pdf",
    response_class=Response,
    responses={**documented(422), **AS_PDF},
)
def print_blank_guide(database: DatabaseOf, paper: Size = None, language: Said = None) -> Response:
    """Print the measuring guide for any dog."""
    with database.reading() as session:
        shop, _ = shop_of(session)
    size = paper or Paper(shop.paper)
    view = paperwork.blank_guide(shop, language or shop.language)
    return as_pdf(measuring_guide.render(view, size), "measure")


def check_labels(order: list[str], copies: int) -> None:
    """Refuse more labels than are drawn at once.

    Raises:
        UnreadableError: saying how many that would be.
    """
    count = len(set(order)) * copies
    if count > MOST_LABELS:
        said = f"That is {count} labels, and {MOST_LABELS} are the most. Print them in parts."
        raise UnreadableError(said, {"copies": said})


@router.get("/papers/labels.pdf", response_class=Response, responses=OF_ORDER)
def print_labels(
    database: DatabaseOf,
    order: Annotated[list[str], Query(min_length=1, max_length=100, description="order numbers")],
    copies: Annotated[int, Query(ge=1, le=100)] = 1,
    paper: Size = None,
    language: Said = None,
) -> Response:
    """Print labels of one or more hoods, several on a sheet; 200 at most in one print."""
    check_labels(order, copies)
    with database.reading() as session:
        orders = [found(session, number) for number in dict.fromkeys(order)]
        shop, _ = shop_of(session)
    view = paperwork.labels_of(orders, shop, copies, language or "")
    return as_pdf(label_sheet.render(view, paper or Paper(shop.paper)), "labels")


@router.get("/yarns/{yarn_id}/size-sheet.pdf", response_class=Response, responses=OF_ORDER)
def print_sizes(
    yarn_id: Annotated[int, Path(ge=1, le=HIGHEST_ID)],
    database: DatabaseOf,
    clock: ClockOf,
    errands: ErrandsOf,
    paper: Size = None,
    language: Said = None,
) -> Response:
    """Print the sheet of stock sizes in a yarn of the shelf."""
    with database.reading() as session:
        shop, _ = shop_of(session)
        yarn = yarn_of(yarn_on_shelf(session, yarn_id).yarn)
    size, day = paper or Paper(shop.paper), clock().date()

    def draw() -> bytes:
        view = paperwork.sizes_of(stock_of(yarn), yarn, shop, day, language or shop.language)
        return size_sheet.render(view, size)

    return as_pdf(errands.alone(Lane.PAPERS, draw), f"sizes-{yarn_id}")
