"""The buyer's papers as pages, for screens and screen readers, from the views of the PDFs."""

from collections.abc import Callable
from typing import Annotated

from fastapi import Path, Query
from fastapi.responses import HTMLResponse

from service import paperwork
from service.bodies import ShopIn
from service.db import Database
from service.errands import Lane
from service.orders import Found, found
from service.papershtml import (
    bill_html,
    care_html,
    guide_html,
    labels_html,
    parcel_html,
    policy,
    sizes_html,
)
from service.planning import yarn_of
from service.shelf import yarn_on_shelf
from service.shop import shop_of
from service.web.api.papers import Said
from service.web.dependencies import HIGHEST_ID, ClockOf, DatabaseOf, ErrandsOf
from service.web.parts import api_part
from service.web.problems import documented
from sizing.stock import stock_of

router = api_part("papers")
OF_ORDER = documented(404, 409, 422)


def as_page(html: str) -> HTMLResponse:
    """Return a paper as a page that may load nothing."""
    return HTMLResponse(html, headers={"Content-Security-Policy": policy()})


def _shown(database: Database, number: str, told: Callable[[Found, ShopIn], str]) -> HTMLResponse:
    with database.reading() as session:
        order, (shop, _) = found(session, number), shop_of(session)
    return as_page(told(order, shop))


@router.get("/orders/{number}/care-sheet.html", response_class=HTMLResponse, responses=OF_ORDER)
def show_care_sheet(number: str, database: DatabaseOf, language: Said = None) -> HTMLResponse:
    """Show the care and supervision sheet."""
    return _shown(
        database, number, lambda o, s: care_html(paperwork.care_of(o, s, language or ""))
    )


@router.get("/orders/{number}/quote.html", response_class=HTMLResponse, responses=OF_ORDER)
def show_quote(number: str, database: DatabaseOf, language: Said = None) -> HTMLResponse:
    """Show the quote."""
    return _shown(
        database, number, lambda o, s: bill_html(paperwork.quote_of_order(o, s, language or ""))
    )


@router.get(
    "/orders/{number}/measuring-guide.html", response_class=HTMLResponse, responses=OF_ORDER
)
def show_guide(number: str, database: DatabaseOf, language: Said = None) -> HTMLResponse:
    """Show the measuring guide for this dog."""
    return _shown(
        database, number, lambda o, s: guide_html(paperwork.guide_of(o, s, language or ""))
    )


@router.get("/orders/{number}/parcel-slip.html", response_class=HTMLResponse, responses=OF_ORDER)
def show_slip(number: str, database: DatabaseOf, language: Said = None) -> HTMLResponse:
    """Show the parcel slip."""
    return _shown(
        database, number, lambda o, s: parcel_html(paperwork.slip_of(o, s, language or ""))
    )


@router.get("/papers/measuring-guide.html", response_class=HTMLResponse, responses=OF_ORDER)
def show_blank_guide(database: DatabaseOf, language: Said = None) -> HTMLResponse:
    """Show the measuring guide for any dog."""
    with database.reading() as session:
        shop, _ = shop_of(session)
    return as_page(guide_html(paperwork.blank_guide(shop, language or shop.language)))


@router.get("/papers/labels.html", response_class=HTMLResponse, responses=OF_ORDER)
def show_labels(
    database: DatabaseOf,
    order: Annotated[list[str], Query(min_length=1, max_length=100, description="order numbers")],
    language: Said = None,
) -> HTMLResponse:
    """Show the labels of one or more hoods."""
    with database.reading() as session:
        orders = [found(session, number) for number in dict.fromkeys(order)]
        shop, _ = shop_of(session)
    return as_page(labels_html(paperwork.labels_of(orders, shop, 1, language or "")))


@router.get("/yarns/{yarn_id}/size-sheet.html", response_class=HTMLResponse, responses=OF_ORDER)
def show_sizes(
    yarn_id: Annotated[int, Path(ge=1, le=HIGHEST_ID)],
    database: DatabaseOf,
    clock: ClockOf,
    errands: ErrandsOf,
    language: Said = None,
) -> HTMLResponse:
    """Show the sheet of stock sizes in a yarn of the shelf."""
    with database.reading() as session:
        shop, _ = shop_of(session)
        yarn = yarn_of(yarn_on_shelf(session, yarn_id).yarn)
    day, code = clock().date(), language or shop.language
    stock = errands.alone(Lane.PAPERS, lambda: stock_of(yarn))
    return as_page(sizes_html(paperwork.sizes_of(stock, yarn, shop, day, code)))
